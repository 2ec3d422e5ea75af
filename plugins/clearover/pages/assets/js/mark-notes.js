/* What a photo's notes tell about the one who took it, in plain words.
   In: the content of one block that is left out. Out: words, none twice; and how the picture is
   turned. Knows nothing of files or the page. Believes no length: what cannot be read counts as
   told. Tags and sources: data/photo-private-tags.csv; a test goes through that table. */
(function () {
  "use strict";

  var WHERE = "where it was taken", NUMBER = "the camera’s number", NAME = "a name", PLACE_NOTE = "the camera maker’s own notes";
  var COPY = "a small hidden copy of the picture", MORE = "further pictures behind the first", BEHIND = "more data behind the picture", COMMENT = "a comment";
  var PROGRAM = "notes of a picture program", SETTINGS = "the camera’s settings and the time", UNREADABLE = "notes that cannot be read";
  var ORDER = [WHERE, NUMBER, NAME, COPY, MORE, BEHIND, COMMENT, PLACE_NOTE, SETTINGS, PROGRAM, UNREADABLE];

  var WORDS = {
    main: { 0x013B: NAME, 0x8298: NAME, 0x013C: NAME, 0x9C9D: NAME, 0x9C9C: COMMENT, 0x010E: COMMENT, 0xC62F: NUMBER, 0x02BC: PROGRAM, 0x83BB: PROGRAM, 0x8649: PROGRAM, 0x0131: PROGRAM },
    exif: { 0x927C: PLACE_NOTE, 0x9286: COMMENT, 0xA420: NUMBER, 0xA430: NAME, 0xA431: NUMBER, 0xA435: NUMBER },
    thumbnail: { 0x0201: COPY, 0x0111: COPY },
    gps: {}
  };
  // How to show the picture, and where the other tags lie: these tell nothing.
  var SILENT = { main: [0x0112, 0x011A, 0x011B, 0x0128, 0x0213, 0x8769, 0x8825], exif: [0x9000, 0x9101, 0xA000, 0xA001, 0xA002, 0xA003, 0xA005], gps: [0] };
  var SIZES = { 1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4 };
  var ENTRIES_MAX = 1000;
  var XMP = [[/GPS|LocationCreated|LocationShown|Location>|City/, WHERE], [/SerialNumber/, NUMBER], [/CreatorContactInfo|creator|OwnerName|PersonInImage/, NAME], [/Thumbnails/, COPY]];

  function ascii(bytes, at, length) {
    return String.fromCharCode.apply(null, bytes.subarray(at, at + length));
  }

  function isExif(bytes) { return ascii(bytes, 0, 6) === "Exif\x00\x00"; }

  /* Every tag as {directory, tag, value}, and whether the block could be followed to its end.
     Source: CIPA DC-008 (Exif 2.32, 2019), sections 4.5 and 4.6. */
  function read(block) {
    if (isExif(block)) block = block.subarray(6);
    var order = ascii(block, 0, 2), little = order === "II", found = [], complete = true;
    var numbers = new DataView(block.buffer, block.byteOffset, block.byteLength);
    if ((order !== "II" && order !== "MM") || block.length < 8) return { found: found, complete: false, little: little };

    function directory(at, name) {
      var count = at >= 8 && at + 2 <= block.length ? numbers.getUint16(at, little) : -1, last = at + 2 + 12 * count;
      if (count < 0 || count > ENTRIES_MAX || last > block.length) { complete = false; return 0; }
      for (var entry = at + 2; entry < last; entry += 12) {
        var size = (SIZES[numbers.getUint16(entry + 2, little)] || 1) * numbers.getUint32(entry + 4, little);
        var place = size <= 4 ? entry + 8 : numbers.getUint32(entry + 8, little);
        if (place + size > block.length) complete = false;
        found.push({ directory: name, tag: numbers.getUint16(entry, little), value: block.subarray(place, place + size) });
      }
      return last + 4 <= block.length ? numbers.getUint32(last, little) : 0;
    }

    var after = directory(numbers.getUint32(4, little), "main");
    [["exif", 0x8769], ["gps", 0x8825]].forEach(function (pair) {
      var pointer = numberOf({ found: found, little: little }, pair[1]);
      if (pointer !== null) directory(pointer, pair[0]);
    });
    if (after) directory(after, "thumbnail");
    return { found: found, complete: complete, little: little };
  }

  /* The first number of a tag of the main directory; the last of equal tags counts. */
  function numberOf(tags, tag) {
    var rows = tags.found.filter(function (row) { return row.directory === "main" && row.tag === tag && row.value.length; });
    if (!rows.length) return null;
    var value = rows[rows.length - 1].value, bytes = Array.from(value.subarray(0, value.length < 4 ? 2 : 4));
    if (tags.little) bytes.reverse();
    return bytes.reduce(function (sum, byte) { return sum * 256 + byte; }, 0);
  }

  /* 1 to 8 as EXIF has it; 1 for a block that says nothing, or nonsense. */
  function orientationIn(block) {
    if (!isExif(block) && !/^(II|MM)/.test(ascii(block, 0, 2))) return 1;
    var found = numberOf(read(block), 0x0112);
    return found && found <= 8 ? found : 1;
  }

  function says(row) {
    return row.value.some(function (byte) { return byte !== 0 && byte !== 0x20 && byte !== 0xFF; });
  }

  function inExif(block) {
    var tags = read(block), out = tags.complete ? [] : [UNREADABLE];
    tags.found.forEach(function (row) {
      var silent = SILENT[row.directory];
      if (silent && silent.indexOf(row.tag) >= 0) return;
      if (row.directory === "gps") out.push(WHERE);
      else if (says(row)) out.push(WORDS[row.directory][row.tag] || (row.directory === "thumbnail" ? "" : SETTINGS));
    });
    return out;
  }

  function inXmp(block) {
    var text = "", at;
    for (at = 0; at < block.length; at += 8192) text += ascii(block, at, 8192);
    return [PROGRAM].concat(XMP.filter(function (row) { return row[0].test(text); }).map(function (row) { return row[1]; }));
  }

  /* What a JPEG segment that is left out told. */
  function inJpegBlock(marker, content) {
    var start = ascii(content, 0, 40);
    if (marker === 0xFE) return [COMMENT];
    if (marker === 0xE1) return isExif(content) ? inExif(content) : /^http:\/\/ns\.adobe\.com\/xm?a?p\//.test(start) ? inXmp(content) : [PLACE_NOTE];
    if (marker === 0xE2 && start.indexOf("MPF\x00") === 0) return [MORE];
    if (marker === 0xE0) return start.indexOf("JFXX\x00") === 0 ? [COPY] : [];
    if (marker === 0xED) return inPhotoshop(content);
    return marker === 0xEC || marker === 0xEE ? [PROGRAM] : [PLACE_NOTE];
  }

  function inPhotoshop(content) {
    var text = "", at;
    for (at = 0; at < content.length; at += 8192) text += ascii(content, at, 8192);
    return [PROGRAM].concat(/8BIM\x04[\x09\x0c]/.test(text) ? [COPY] : [], /8BIM\x04\x04/.test(text) ? [NAME] : []);
  }

  /* What a PNG chunk that is left out told. */
  function inPngChunk(name, content) {
    if (name === "eXIf") return inExif(content);
    if (name === "tIME") return [SETTINGS];
    if (!/^[tzi][TX]Xt$/.test(name)) return [PROGRAM];
    var keyword = ascii(content, 0, 80).split("\x00")[0].toLowerCase();
    if (keyword === "xml:com.adobe.xmp") return inXmp(content);
    if (keyword === "author" || keyword === "copyright") return [NAME];
    if (/gps|location/.test(keyword)) return [WHERE];
    return keyword === "software" || /^raw profile/.test(keyword) ? [PROGRAM] : [COMMENT];
  }

  /* What a WebP chunk that is left out told. */
  function inWebpChunk(name, content) {
    return name === "EXIF" ? inExif(content) : name === "XMP " ? inXmp(content) : [PROGRAM];
  }

  /* Each once, what matters most first. */
  function inOrder(found) {
    return ORDER.filter(function (words) { return found.indexOf(words) >= 0; });
  }

  window.clearoverNotes = {
    COPY: COPY, BEHIND: BEHIND, ascii: ascii, orientationIn: orientationIn, inJpegBlock: inJpegBlock,
    inPngChunk: inPngChunk, inWebpChunk: inWebpChunk, inOrder: inOrder
  };
}());
