"""The largest frame that an AV1 bitstream asks a decoder to make room for.

In: the bytes of one coded picture, perhaps hostile. Out: width and height in px. The box around it
may say less, and the decoder believes the bitstream.

Format: AV1 Bitstream & Decoding Process Specification, 2019, sections 5.3 (units) and 5.5 (the
sequence header); from memory, checked against an encoder's files.
"""

from __future__ import annotations

from .blocks import Broken
from .limits import limits

SEQUENCE_HEADER = 1
_NONSENSE = "the picture in it makes no sense"
_HEADER_MAX = 400
"""More bytes than its sizes can lie behind: 32 operating points of at most 89 bits, and 180."""


class _Bits:
    def __init__(self, data: bytes) -> None:
        self.data, self.at = data, 0

    def take(self, count: int) -> int:
        """The next bits as a number, the first the highest."""
        end = self.at + count
        if end > 8 * len(self.data):
            raise Broken(_NONSENSE)
        first, last = self.at // 8, -(-end // 8)
        number = int.from_bytes(self.data[first:last], "big") >> (8 * last - end)
        self.at = end
        return number & ((1 << count) - 1)


def largest_frame(data: bytes) -> tuple[int, int]:
    """Width and height of the largest frame of any sequence header in these bytes."""
    at, wide, high = 0, 0, 0
    for _ in range(limits().segments_max):
        if at >= len(data):
            return wide, high
        head = data[at]
        at += 2 if head & 4 else 1
        size = len(data) - at
        if head & 2:
            size, at = _leb128(data, at)
        if head & 0x80 or at + size > len(data):
            raise Broken(_NONSENSE)
        if head >> 3 & 15 == SEQUENCE_HEADER:
            width, height = _sequence(_Bits(data[at : at + min(size, _HEADER_MAX)]))
            wide, high = max(wide, width), max(high, height)
        at += size
    raise Broken("it has thousands of blocks")


def _leb128(data: bytes, at: int) -> tuple[int, int]:
    """A number of up to 8 bytes, the lowest 7 bits first; and where it ends."""
    number = 0
    for step, byte in enumerate(data[at : at + 8]):
        number |= (byte & 127) << (7 * step)
        if byte < 128:
            return number, at + step + 1
    raise Broken(_NONSENSE)


def _sequence(bits: _Bits) -> tuple[int, int]:
    bits.take(4)
    if bits.take(1):  # the short form for a single still
        bits.take(5)
    else:
        _operating_points(bits)
    wide, high = 1 + bits.take(4), 1 + bits.take(4)
    return 1 + bits.take(wide), 1 + bits.take(high)


def _operating_points(bits: _Bits) -> None:
    model, delay = 0, 0
    if bits.take(1):
        bits.take(64)
        if bits.take(1):
            _uvlc(bits)
        model = bits.take(1)
        if model:
            delay = 1 + bits.take(5)
            bits.take(42)
    display = bits.take(1)
    for _ in range(1 + bits.take(5)):
        bits.take(12)
        if bits.take(5) > 7:
            bits.take(1)
        if model and bits.take(1):
            bits.take(2 * delay + 1)
        if display and bits.take(1):
            bits.take(4)


def _uvlc(bits: _Bits) -> None:
    zeros = 0
    while not bits.take(1):
        zeros += 1
    if zeros < 32:
        bits.take(zeros)
