/* Take private notes out of a photo and leave the picture as it is, bit for bit.
   In: a file's bytes. Out: the pieces of the clean file and, in plain words, what was left out; or
   the fault for which it cannot be cleaned. Knows nothing of the page. Copies or leaves out whole
   blocks, as photos/clean.py does; a test compares both byte for byte.
   Formats: JPEG, ITU-T T.81 (1992), annex B; JFIF, ITU-T T.871 (2011); PNG, W3C Recommendation
   2003, clause 5; WebP, RFC 9649 (2024), section 2. What is private: mark-notes.js. */
(function () {
  "use strict";

  var notes = window.clearoverNotes;
  var PNG_KEPT = ["IHDR", "PLTE", "IDAT", "IEND", "tRNS", "gAMA", "cHRM", "sRGB", "iCCP", "sBIT", "cICP"];
  var PNG_SILENT = ["pHYs", "bKGD", "hIST", "sPLT"];   // left out too, but they tell nothing
  var WEBP_KEPT = ["VP8 ", "VP8L", "VP8X", "ALPH", "ICCP"];
  var WEBP_EXIF = 0x08, WEBP_XMP = 0x04, WEBP_MOVES = 0x02;
  var BROKEN = "The file breaks off or is damaged. Copy it from the camera again.";
  var MOVES = "This is a moving picture. Add one still picture as JPEG.";

  var ascii = notes.ascii;

  function Fault(words) { this.words = words; }

  function need(ok) { if (!ok) throw new Fault(BROKEN); }

  function view(bytes) { return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength); }

  /* An EXIF block that says how the picture is turned, and nothing else. */
  function orientationBlock(orientation) {
    return new Uint8Array([0x4D, 0x4D, 0, 42, 0, 0, 0, 8, 0, 1, 1, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0, 0, 0, 0, 0]);
  }

  function latin(text) { return Uint8Array.from(text, function (letter) { return letter.charCodeAt(0); }); }

  function bytesOf(number, little) {
    var made = new Uint8Array(4);
    view(made).setUint32(0, number, little);
    return made;
  }

  /* --- JPEG --- */
  function jpeg(bytes, found) {
    var out = [], at = 2, end, turned = 1, numbers = view(bytes), marker, start;
    for (;;) {
      start = at;
      while (bytes[at] === 0xFF && bytes[at + 1] === 0xFF) at += 1;   // filling, T.81 B.1.1.2
      need(at + 1 < bytes.length && bytes[at] === 0xFF);
      marker = bytes[at + 1];
      if (marker === 0x01 || (marker >= 0xD0 && marker <= 0xD7)) { at += 2; continue; }
      need(marker !== 0xD9 && at + 4 <= bytes.length);
      end = at + 2 + numbers.getUint16(at + 2);
      need(end >= at + 4 && end <= bytes.length);
      var content = bytes.subarray(at + 4, end);
      if (marker === 0xE1 && turned === 1 && ascii(content, 0, 6) === "Exif\x00\x00") turned = notes.orientationIn(content);
      if (marker === 0xE0 && ascii(content, 0, 4) === "JFIF") out.push(plainJfif(content, found));
      else if (keepsSegment(marker, content, found)) out.push(bytes.subarray(start, end));
      at = end;
      if (marker === 0xDA) break;
    }
    scans(bytes, at, out, found);
    var exif = turned === 1 ? [] : [latin("\xff\xe1\x00\x22Exif\x00\x00"), orientationBlock(turned)];
    return [latin("\xff\xd8")].concat(exif, out);
  }

  function plainJfif(content, found) {
    if (content[12] || content[13]) found.push(notes.COPY);
    var made = latin("\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00");
    made.set(content.subarray(5, 12), 9);
    return made;
  }

  function keepsSegment(marker, content, found) {
    var profile = marker === 0xE2 && ascii(content, 0, 12) === "ICC_PROFILE\x00";
    var decoding = marker === 0xEE && ascii(content, 0, 5) === "Adobe";
    if (profile || decoding || ((marker & 0xF0) !== 0xE0 && marker !== 0xFE)) return true;
    found.push.apply(found, notes.inJpegBlock(marker, content));
    return false;
  }

  /* The scans, without notes between them, to the end mark and no further. */
  function scans(bytes, at, out, found) {
    for (var i = at; ; i += 1) {
      i = bytes.indexOf(0xFF, i);
      need(i >= 0 && i + 1 < bytes.length);
      var marker = bytes[i + 1];
      if (marker <= 0x01 || marker === 0xFF || (marker >= 0xD0 && marker <= 0xD7)) continue;
      if (marker === 0xD9) break;
      need(i + 4 <= bytes.length);
      var note = (marker & 0xF0) === 0xE0 || marker === 0xFE, end = i + 2 + view(bytes).getUint16(i + 2);
      out.push(bytes.subarray(at, note ? i : end));
      if (note) found.push.apply(found, notes.inJpegBlock(marker, bytes.subarray(i + 4, end)));
      at = end;
      i = end - 1;
    }
    out.push(bytes.subarray(at, i + 2));
    if (bytes.subarray(i + 2).some(function (byte) { return [0, 10, 13, 32].indexOf(byte) < 0; })) found.push(notes.BEHIND);
  }

  /* --- PNG --- */
  function png(bytes, found) {
    var chunks = [], turned = 1, at = 8, name;
    do {
      need(at + 8 <= bytes.length);
      var size = view(bytes).getUint32(at), end = at + 12 + size, content = bytes.subarray(at + 8, end - 4);
      name = ascii(bytes, at + 4, 4);
      need(/^[A-Za-z]{4}$/.test(name) && end <= bytes.length);
      if (name === "acTL") throw new Fault(MOVES);
      if (name === "eXIf") turned = notes.orientationIn(content);
      if (PNG_KEPT.indexOf(name) >= 0) chunks.push({ name: name, bytes: bytes.subarray(at, end) });
      else if (PNG_SILENT.indexOf(name) < 0) found.push.apply(found, notes.inPngChunk(name, content));
      at = end;
    } while (name !== "IEND");
    if (at < bytes.length) found.push(notes.BEHIND);
    var out = [bytes.subarray(0, 8)];
    chunks.forEach(function (chunk) {
      out.push(chunk.bytes);
      if (chunk.name === "IHDR" && turned !== 1) out.push(pngExif(turned));
    });
    return out;
  }

  function pngExif(turned) {
    var made = new Uint8Array(38);
    made.set(bytesOf(26, false), 0);
    made.set(latin("eXIf"), 4);
    made.set(orientationBlock(turned), 8);
    made.set(bytesOf(crc(made.subarray(4, 34)), false), 34);
    return made;
  }

  /* PNG, 2003, annex D. */
  function crc(bytes) {
    var value = 0xFFFFFFFF;
    bytes.forEach(function (byte) {
      value ^= byte;
      for (var bit = 0; bit < 8; bit += 1) value = value & 1 ? (value >>> 1) ^ 0xEDB88320 : value >>> 1;
    });
    return (value ^ 0xFFFFFFFF) >>> 0;
  }

  /* --- WebP --- */
  function webp(bytes, found) {
    var out = [], turned = 1, extended = -1, at = 12, stop = 8 + view(bytes).getUint32(4, true);
    need(stop <= bytes.length);
    while (at < stop) {
      need(at + 8 <= bytes.length);
      var name = ascii(bytes, at, 4), size = view(bytes).getUint32(at + 4, true), end = at + 8 + size + (size & 1);
      need(end <= stop + (size & 1));
      if (name === "ANIM" || name === "ANMF" || (name === "VP8X" && bytes[at + 8] & WEBP_MOVES)) throw new Fault(MOVES);
      if (name === "EXIF") turned = notes.orientationIn(bytes.subarray(at + 8, at + 8 + size));
      if (name === "VP8X") extended = out.length;
      if (WEBP_KEPT.indexOf(name) >= 0) out.push(bytes.slice(at, end));
      else found.push.apply(found, notes.inWebpChunk(name, bytes.subarray(at + 8, at + 8 + size)));
      at = end;
    }
    if (at < bytes.length) found.push(notes.BEHIND);
    if (extended >= 0) {
      out[extended][8] = (out[extended][8] & ~(WEBP_EXIF | WEBP_XMP)) | (turned === 1 ? 0 : WEBP_EXIF);
      if (turned !== 1) out.push(latin("EXIF"), bytesOf(26, true), orientationBlock(turned));
    }
    var length = out.reduce(function (sum, piece) { return sum + piece.length; }, 4);
    return [latin("RIFF"), bytesOf(length, true), latin("WEBP")].concat(out);
  }

  /* --- all three --- */
  function kindOf(bytes) {
    if (ascii(bytes, 0, 3) === "\xff\xd8\xff") return "jpeg";
    if (ascii(bytes, 0, 8) === "\x89PNG\r\n\x1a\n") return "png";
    return ascii(bytes, 0, 4) === "RIFF" && ascii(bytes, 8, 4) === "WEBP" ? "webp" : "";
  }

  /* {kind, pieces, removed} or {kind, fault}; `kind` is "" for what is none of the three. */
  function clean(bytes) {
    var kind = kindOf(bytes), found = [];
    if (!kind) return { kind: kind, fault: "Only JPEG, PNG and WebP photos can be cleaned." };
    try {
      var pieces = { jpeg: jpeg, png: png, webp: webp }[kind](bytes, found);
      return { kind: kind, pieces: pieces, removed: notes.inOrder(found) };
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      return { kind: kind, fault: error.words };
    }
  }

  var ENDINGS = { jpeg: /\.jpe?g$/, png: /\.png$/, webp: /\.webp$/ };

  /* The clean file's name: lower case, a hyphen for spaces and for what a file's name may not hold
     everywhere, the ending that its content has. */
  function cleanName(name, kind) {
    var plain = name.toLowerCase(), ending = ENDINGS[kind].exec(plain);
    var stem = plain.replace(ending ? ENDINGS[kind] : /\.[a-z0-9]{0,5}$/, "");
    stem = stem.replace(/[\s\\/:*?"'<>|#%~\x00-\x1f\x7f]+/g, "-").replace(/^[-.]+|[-.]+$/g, "");
    return (stem || "photo") + (ending ? ending[0] : "." + kind.replace("jpeg", "jpg"));
  }

  window.clearoverClean = { clean: clean, cleanName: cleanName };
}());
