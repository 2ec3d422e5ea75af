"""What a photo's file tells before it is decoded: a record that the reader of each kind fills.

It decides nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, field

TURNED = (5, 6, 7, 8)


@dataclass(slots=True)
class Header:
    """`width` and `height` in px as stored, `orientation` 1 to 8 as EXIF has it.

    `further` counts pictures beside the first. `profile` and `cicp` (numbers of primaries and
    transfer, ITU-T H.273) say what the colours mean, where the reader of this kind looks for it.
    """

    kind: str
    width: int = 0
    height: int = 0
    orientation: int = 1
    bits: int = 8
    components: int = 3
    animated: bool = False
    further: int = 0
    private: list[str] = field(default_factory=list)
    profile: bytes | None = None
    cicp: tuple[int, int] | None = None

    @property
    def upright(self) -> tuple[int, int]:
        """Width and height after the orientation is applied; corners are counted in these."""
        if self.orientation in TURNED:
            return self.height, self.width
        return self.width, self.height
