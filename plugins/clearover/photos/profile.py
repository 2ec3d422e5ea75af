"""Turn a picture's colours into sRGB by the profile it carries.

In: a decoded picture and its ICC profile. Out: RGB in sRGB, and a note where the profile was of no
use. Knows nothing of files. The conversion itself is LittleCMS, through Pillow.
"""

from __future__ import annotations

import io

from PIL import Image, ImageCms

BAD_PROFILE = "its colour profile cannot be used; the colours are taken as sRGB"
_MODES = {"RGB ": "RGB", "GRAY": "L"}


def to_srgb(picture: Image.Image, profile: bytes | None) -> tuple[Image.Image, str | None]:
    """The picture in 8-bit sRGB, and a note about a bad profile or None.

    Relative colorimetric with black point compensation: paper white stays white. A profile that is
    damaged, or made for another kind of picture, is not used: the note says so. Gives the picture
    itself back where it is sRGB already.
    """
    if not profile:
        return picture if picture.mode == "RGB" else picture.convert("RGB"), None
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        mode = _MODES.get(source.profile.xcolor_space)
        if mode is None or (mode == "L" and picture.mode != "L"):
            return picture.convert("RGB"), BAD_PROFILE
        changed = ImageCms.profileToProfile(
            picture if picture.mode == mode else picture.convert(mode),
            source,
            ImageCms.createProfile("sRGB"),
            renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
            outputMode="RGB",
            flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
        )
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError, SyntaxError):
        return picture.convert("RGB"), BAD_PROFILE
    if changed is None:
        return picture.convert("RGB"), BAD_PROFILE
    return changed, None
