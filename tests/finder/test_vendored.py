"""What is not ours lies in the project as its makers published it."""

from __future__ import annotations

import hashlib

from clearover.pages.asset_files import assets

# Of `dist/umd/index.js` in the npm package minisearch 7.2.0 without its last line, which names a
# source map that is not shipped.
DIGEST = "4e02b9fa52f244c377d737c7d06cda6bce967d137254e8532d6c79f68469bef3"


def test_the_search_library_is_unchanged_and_keeps_its_licence() -> None:
    found = {address.rpartition("/")[2]: path for address, path in assets()}
    text = found["minisearch-7.2.0.js"].read_bytes()
    assert hashlib.sha256(text).hexdigest() == DIGEST
    assert "Luca Ongaro" in found["minisearch-LICENSE.txt"].read_text(encoding="utf-8")
