/* Taking a photo in: picked, or dropped anywhere on the page.
   In: a file. Out: the photo, decoded, with what mark-clean.js says of it; or words on why it
   cannot be used. Nothing is sent, stored or fetched. */
(function () {
  "use strict";

  window.clearoverTake = function (part, taken) {
    var latest = 0;                 // of two photos in a row the second counts, whichever is read first

    function trouble(text) {
      part.trouble.textContent = text;
      part.trouble.hidden = !text;
    }

    function whyNot(bytes) {
      var text = String.fromCharCode.apply(null, bytes.subarray(0, 64));
      if (/^....ftyp.*(hei[cxms]|hev[cx]|mif1|msf1)/s.test(text)) {
        return "This is a HEIC photo, which this browser cannot show. Set the phone’s camera to its most compatible format, or export the photo as JPEG (sending it to oneself by mail often does that), and choose that one. On a computer with Clearover installed, “clearover clean-photo” makes a JPEG of it.";
      }
      return "This file cannot be shown as a photo. Use a JPEG, PNG or WebP, and check that the file is whole.";
    }

    function take(file) {
      var number = latest += 1;
      file.arrayBuffer().then(function (buffer) {
        if (number !== latest) return;
        var bytes = new Uint8Array(buffer), cleaned = window.clearoverClean.clean(bytes);
        if (!cleaned.kind) { trouble(whyNot(bytes)); return; }
        var url = URL.createObjectURL(file), image = new Image();
        image.onload = function () {
          URL.revokeObjectURL(url);
          if (number !== latest) return;
          trouble("");
          part.drop.classList.add("mp-small");
          part["drop-words"].textContent = file.name + " (" + image.naturalWidth + " × " + image.naturalHeight + " px): choose another";
          taken({ image: image, name: file.name, width: image.naturalWidth, height: image.naturalHeight, scale: 1 }, cleaned);
        };
        image.onerror = function () {
          URL.revokeObjectURL(url);
          if (number === latest) trouble(whyNot(bytes));
        };
        image.src = url;
      }, function () { trouble("The file cannot be read. Is it still there?"); });
    }

    part.file.addEventListener("change", function () {
      if (part.file.files.length) take(part.file.files[0]);
      part.file.value = "";
    });
    ["dragover", "drop"].forEach(function (name) {
      // Anywhere on the page: a photo dropped beside the field must not replace the page.
      document.addEventListener(name, function (event) {
        if (!event.dataTransfer || Array.prototype.indexOf.call(event.dataTransfer.types, "Files") < 0) return;
        event.preventDefault();
        part.drop.classList.toggle("mp-over", name === "dragover");
        if (name === "drop" && event.dataTransfer.files.length) take(event.dataTransfer.files[0]);
      });
    });
    document.addEventListener("dragleave", function () { part.drop.classList.remove("mp-over"); });
    part.drop.hidden = false;
  };
}());
