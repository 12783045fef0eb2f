"""Ways to spoil a file: blindly, and with an eye for what a PNG, a TIFF or a brief is made of."""

import random
import struct
import zlib
from collections.abc import Callable, Sequence

_EDGES = (0, 1, 2, 7, 8, 16, 127, 128, 255, 256, 32767, 32768, 65535, 65536, 2**31 - 1, 2**31, 2**32 - 1)
_PNG_HEAD = 8
_MOST_BYTES = 1 << 17

_WORDS = (
    b"nan", b"inf", b"-1", b"1e999", b"0x10", b"true", b"[", b"]", b"{", b"}", b'"', b"'''", b"=", b".", b",",
    b"[[lines]]", b"[limits]", b"box = [0, 0, 0, 0]\n", b"tier = 'lead'\n", b"1979-05-27", b"\xe2\x80\xae",
    b"\x1b[2J", b"\0", b"\xff", b"mm", b"0mm", b"-3m", b"1e9ft", b"<b>", b"#", b"\n", b"\r", b"a.b.c", b"9" * 5000,
    b"[" * 2000,
)  # fmt: skip

Mutation = Callable[[random.Random, bytearray, Sequence[bytes]], None]


def spoilt(chance: random.Random, kind: str, files: Sequence[bytes]) -> bytes:
    """Return one of `files` of a kind with one to six things wrong with it.

    Half of the PNGs get their sums put right again, so that what is wrong is read, and not only noticed.
    """
    data = bytearray(chance.choice(files))
    ways = [*_BLIND, *_OF_KIND.get(kind, ())]
    for _ in range(chance.choice((1, 1, 1, 2, 3, 6))):
        if data:
            chance.choice(ways)(chance, data, files)
    del data[_MOST_BYTES:]
    if kind == "png" and chance.random() < 0.5:
        _mend_sums(data)
    return bytes(data)


def _at(chance: random.Random, data: bytearray) -> int:
    """Choose a place, near the start as often as anywhere: that is where headers are."""
    return chance.randrange(len(data) if chance.random() < 0.5 else min(len(data), 200))


def _flip(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> None:
    data[_at(chance, data)] ^= 1 << chance.randrange(8)


def _set(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> None:
    data[_at(chance, data)] = chance.choice((0, 1, 127, 128, 254, 255, chance.randrange(256)))


def _number(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> None:
    at, length = _at(chance, data), chance.choice((2, 4))
    value = chance.choice(_EDGES) & ((1 << 8 * length) - 1)
    data[at : at + length] = value.to_bytes(length, chance.choice(("big", "little")))


def _cut(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> None:
    at = _at(chance, data)
    del data[at : at + chance.choice((1, 2, 4, 16, 100))]


def _end(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> None:
    del data[chance.randrange(len(data)) :]


def _again(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> None:
    at, to = _at(chance, data), _at(chance, data)
    data[to:to] = data[at : at + chance.choice((1, 4, 12, 100, 1000))] * chance.choice((1, 1, 2, 20))


def _noise(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> None:
    at = _at(chance, data)
    data[at : at + 16] = chance.randbytes(chance.choice((1, 4, 16, 64)))


def _splice(chance: random.Random, data: bytearray, files: Sequence[bytes]) -> None:
    other = chance.choice(files)
    at = chance.randrange(len(other))
    data[_at(chance, data) :] = other[at:]


def _png_chunk(chance: random.Random, data: bytearray, files: Sequence[bytes]) -> None:
    """Spoil one chunk's content, leave one out, or bring one in from another file; all sums right."""
    chunks, others = _chunks(data), _chunks(bytearray(chance.choice(files)))
    if not chunks or not others:
        return
    index = chance.randrange(len(chunks))
    name, content = chunks[index]
    what = chance.randrange(5)
    if what == 0:
        del chunks[index]
    elif what == 1:
        chunks.insert(index, chance.choice(others))
    elif what == 2:
        chunks[index] = (chance.choice((b"tRNS", b"PLTE", b"pHYs", b"iCCP", b"eXIf", b"acTL", b"fcTL", name)), content)
    elif what == 3 and name in (b"IDAT", b"iCCP", b"zTXt"):
        pixels = bytearray(zlib.compress(chance.randbytes(chance.choice((0, 10, 1000, 7000)))))
        chunks[index] = (name, bytes(pixels))
    elif content:
        spoiling = bytearray(content)
        chance.choice((_flip, _set, _number, _end))(chance, spoiling, files)
        chunks[index] = (name, bytes(spoiling))
    data[_PNG_HEAD:] = b"".join(_chunk(name, content) for name, content in chunks)


def _chunks(data: bytearray) -> list[tuple[bytes, bytes]]:
    found, at = [], _PNG_HEAD
    while at + 12 <= len(data):
        length = int.from_bytes(data[at : at + 4], "big")
        if at + 12 + length > len(data):
            break
        found.append((bytes(data[at + 4 : at + 8]), bytes(data[at + 8 : at + 8 + length])))
        at += 12 + length
    return found


def _chunk(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))


def _mend_sums(data: bytearray) -> None:
    chunks = _chunks(data)
    if chunks:
        data[_PNG_HEAD:] = b"".join(_chunk(name, content) for name, content in chunks)


def _tiff_entry(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> None:
    """Change the tag, type, count or value of one entry, the number of entries, or where the next page is."""
    if len(data) < 8:
        return
    order = "<" if data[:2] == b"II" else ">"
    directory = struct.unpack_from(f"{order}I", data, 4)[0]
    if directory + 2 > len(data):
        return
    entries = struct.unpack_from(f"{order}H", data, directory)[0]
    end = directory + 2 + 12 * entries
    what = chance.randrange(6)
    if what == 4:
        struct.pack_into(f"{order}H", data, directory, chance.choice((0, 1, entries + 1, 1000, 65535)))
    elif what == 5:
        if end + 4 <= len(data):  # to itself: pages without end
            struct.pack_into(f"{order}I", data, end, chance.choice((directory, 8, 2**32 - 1, len(data) // 2)))
    elif entries and end <= len(data):
        entry = directory + 2 + 12 * chance.randrange(entries)
        at, form, most = ((0, "H", 65535), (2, "H", 13), (4, "I", 2**32 - 1), (8, "I", 2**32 - 1))[what]
        value = chance.choice((*_EDGES, directory, len(data), chance.randrange(1000)))
        struct.pack_into(order + form, data, entry + at, min(value, most))


def _brief_words(chance: random.Random, data: bytearray, _: Sequence[bytes]) -> None:
    """Put in a word that means something in TOML or to a reader of sizes, or move a line."""
    if chance.random() < 0.5:
        at = chance.randrange(len(data))
        data[at:at] = chance.choice(_WORDS)
        return
    lines = bytes(data).splitlines(keepends=True)
    if lines:
        lines.insert(chance.randrange(len(lines)), lines[chance.randrange(len(lines))])
        data[:] = b"".join(lines)


_BLIND: tuple[Mutation, ...] = (_flip, _set, _number, _cut, _end, _again, _noise, _splice)
_OF_KIND: dict[str, tuple[Mutation, ...]] = {
    "png": (_png_chunk,) * 8,
    "tiff": (_tiff_entry,) * 8,
    "brief": (_brief_words,) * 8,
}
