/* Saving a clean copy of the photo: what its file tells, and the button that saves it without.
   In: what mark-clean.js made of the photo. Out: a download, made on this device, and its name. */
(function () {
  "use strict";

  var TYPES = { jpeg: "image/jpeg", png: "image/png", webp: "image/webp" };

  function joined(words) {
    return words.length < 2 ? words.join("") : words.slice(0, -1).join(", ") + " and " + words[words.length - 1];
  }

  window.clearoverSave = function (part, saved) {
    var cleaned = null, name = "";

    function offer(given, fileName) {
      cleaned = given;
      part.tells.hidden = false;
      part.saved.textContent = "";
      part.save.hidden = Boolean(cleaned.fault);
      part["saved-hint"].hidden = true;
      part.panel.classList.toggle("mp-tells", !cleaned.fault && cleaned.removed.length > 0);
      if (cleaned.fault) {
        part.tells.textContent = cleaned.fault;
        return;
      }
      name = window.clearoverClean.cleanName(fileName, cleaned.kind);
      part.tells.textContent = cleaned.removed.length
        ? "Beside the picture, this file tells " + joined(cleaned.removed) + "."
        : "Nothing but the picture is in this file.";
      part.command.textContent = "clearover clean-photo " + (/^[\w./-]+$/.test(fileName) ? fileName : "'" + fileName.replace(/'/g, "'\\''") + "'");
    }

    part.save.addEventListener("click", function () {
      var url = URL.createObjectURL(new Blob(cleaned.pieces, { type: TYPES[cleaned.kind] })), link = document.createElement("a");
      link.href = url;
      link.download = name;
      link.click();
      window.setTimeout(function () { URL.revokeObjectURL(url); }, 60000);   // some browsers read it late
      part.saved.textContent = "Saved as " + name + ". " + (cleaned.removed.length
        ? "Taken out: " + joined(cleaned.removed) + ". The picture itself is as it was."
        : "Nothing had to be taken out.");
      part.tells.hidden = true;    // said again in other words: the photo must not move far down
      part["saved-hint"].hidden = false;
      saved(name);
    });

    return { offer: offer };
  };
}());
