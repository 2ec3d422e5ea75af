"""What we replace of the theme is still what we replaced; a new edition must be looked at."""

from __future__ import annotations

import hashlib
from importlib.resources import files

import pytest

# sha256 of the upstream partials whose work our overrides do (mkdocs-material 9.8.2).
REPLACED = {
    "header.html": "8cf3fb15bcf969ff596649616fd99366b3c31c08d57a86d05308efc16d8fa75f",
    "source.html": "6847616d67be4920d39c278c2799bf20222bbc02ee2a8393aca85e3eaa518752",
    "javascripts/base.html": "d6113712bc4deb30b4bd810ee0dfc28b6f04d2f88cc0016c0f1766eac7b762b6",
    "javascripts/content.html": "3722e156f0f6339de39fbbfc178b6e401d1a4fb890f189ac5b80c2504bda7dcf",
    "javascripts/palette.html": "8790389765ea6036effddba548b15093bb05bdc75624eaeaf8b13f3c24be4ab5",
    "javascripts/announce.html": "fbc798036968edbf0b7a35cff569cdf058eb131738ff7b8108281908affac0a6",
    "javascripts/consent.html": "6dc38ea451a27ffd6cf929c13f8b3eb68b44cc602145f99a6cc395a07c5638ab",
    "javascripts/outdated.html": "13165dec361fce13130f73f747aab982f7e1979608c061e5953b10286abc7447",
}


@pytest.mark.parametrize(("name", "digest"), REPLACED.items())
def test_the_replaced_partial_is_the_one_we_know(name: str, digest: str) -> None:
    found = files("material").joinpath("templates/partials", name).read_bytes()
    assert hashlib.sha256(found).hexdigest() == digest, (
        f"{name} of the theme changed: compare it with ours in pages/templates/overrides"
    )


def test_no_other_partial_has_a_script_of_its_own() -> None:
    partials = files("material").joinpath("templates/partials")
    ours = files("clearover").joinpath("pages/templates/overrides/partials")
    for folder in ("", "javascripts", "integrations"):
        for path in partials.joinpath(folder).iterdir():
            if path.name.endswith(".html") and "<script" in path.read_text(encoding="utf-8"):
                assert ours.joinpath(folder, path.name).is_file(), f"{folder}/{path.name}"
