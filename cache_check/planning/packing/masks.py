"""Sets of numbers as bit masks: whole numbers whose set bits are the members."""

from collections.abc import Iterable


def bits(mask: int) -> list[int]:
    """The numbers of the bits that are set, rising."""
    text = bin(mask)[:1:-1]
    found, at = [], text.find("1")
    while at >= 0:
        found.append(at)
        at = text.find("1", at + 1)
    return found


def mask_of(numbers: Iterable[int], total: int) -> int:
    """The mask of some numbers below ``total``; quicker than adding them one by one where there are many."""
    octets = bytearray(total // 8 + 1)
    for number in numbers:
        octets[number >> 3] |= 1 << (number & 7)
    return int.from_bytes(octets, "little")


def places(mask: int, numbers: list[int]) -> int:
    """The mask of the places of those numbers that are in a mask; by its digits, since each shift copies all of it."""
    digits = bin(mask)[:1:-1].ljust(1 + max(numbers, default=0), "0")
    return mask_of((at for at, number in enumerate(numbers) if digits[number] == "1"), len(numbers))
