"""Write a catalogue of any size to measure with: `python tests/bench/make_catalogue.py N DIR`.

In: a number of tiles. Out: DIR as a catalogue's folder (`--combos DIR`), the same to the byte for
the same numbers and seed. Colours and clears do not depend on N, so two sizes can be compared.
A tile has 3 to 12 cells and a remark, one or two people judge it; without `--photos` it has none.
"""

from __future__ import annotations

import argparse
import random
from dataclasses import dataclass
from pathlib import Path

import invented
from clearover.chemistry.pigments import pigments

TILES_A_FIRING = 20


@dataclass(frozen=True, slots=True)
class Stock:
    """What tiles are made of: ids, and for each clear the cones it is meant for."""

    underglazes: list[str]
    clears: dict[str, str]
    bodies: tuple[str, ...] = ("white-stoneware", "red-earthenware", "porcelain")


def main() -> None:
    """Read the numbers from the command line and write the catalogue."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("tiles", type=int, metavar="N")
    parser.add_argument("folder", type=Path, metavar="DIR", help="new, or empty")
    parser.add_argument("--underglazes", type=int, default=250)
    parser.add_argument("--clears", type=int, default=33)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--photos", action="store_true", help="draw a photo of every tile (slow)")
    given = parser.parse_args()
    if given.folder.exists() and any(given.folder.iterdir()):
        raise SystemExit(f"{given.folder} is not empty; nothing was written")
    make(given.tiles, given.folder, given.underglazes, given.clears, given.seed)
    if given.photos:
        from draw_photos import draw_all

        draw_all(given.folder, given.seed)


def make(tiles: int, folder: Path, underglazes: int = 250, clears: int = 33, seed: int = 1) -> None:
    """Write the records."""
    stock = _stock(folder, underglazes, clears, seed)
    firings = _firings(folder, max(1, -(-tiles // TILES_A_FIRING)), seed)
    rng = random.Random(f"tiles {seed}")
    for number in range(1, tiles + 1):
        firing, cone = firings[(number - 1) // TILES_A_FIRING]
        _tile(folder, number, stock, firing, cone, rng)


def write(path: Path, text: str) -> None:
    """One record."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8", newline="\n")


def _stock(folder: Path, underglazes: int, clears: int, seed: int) -> Stock:
    write(
        folder / "studio.yml",
        "name: Measuring Room\ncones: [05, 5, 6, 10]\nusual cone: 6\natmosphere: oxidation\n"
        "notes: Invented by a program, to measure with.\n",
    )
    for name in ("White Stoneware", "Red Earthenware", "Porcelain"):
        colour = "red" if name.startswith("Red") else "white"
        write(folder / f"bodies/{invented.as_id(name)}.yml", f"name: {name}\ncolour: {colour}\n")
    names = invented.names(underglazes + clears, seed)
    rng = random.Random(f"colours {seed}")
    known = list(pigments().values())
    for name in names[:underglazes]:
        pigment = rng.choice(known)
        write(
            folder / f"underglazes/{invented.as_id(name)}.yml",
            f"name: {name}\nmaker: {rng.choice(invented.FIRST)} Lane Colours\n"
            f"colour: {pigment.colours[0]}\npigment: [{pigment.name}]\nknown from: maker\n"
            "cones: 05..10\n",
        )
    ids = [invented.as_id(name) for name in names]
    return Stock(ids[:underglazes], _clears(folder, names[underglazes:], rng))


def _clears(folder: Path, names: list[str], rng: random.Random) -> dict[str, str]:
    """Two in three with a recipe, the others known from their labels; some for low fire."""
    cones: dict[str, str] = {}
    for number, name in enumerate(names):
        surface, range_, recipe = invented.RECIPES[number % len(invented.RECIPES)]
        if number % 6 == 5:
            range_ = "05"
        text = f"name: {name}\nsurface: {surface}\ncones: {range_}\n"
        if number % 3 == 2:
            text += f"zinc: {rng.choice(('bearing', 'free', 'unknown'))}\nknown from: label\n"
        else:
            parts = "".join(
                f"  {material}: {amount + rng.randint(0, 3)}\n"
                for material, amount in recipe.items()
            )
            text += f"known from: recipe\nrecipe:\n{parts}"
        cones[invented.as_id(name)] = range_
        write(folder / f"clears/{invented.as_id(name)}.yml", text)
    return cones


def _firings(folder: Path, count: int, seed: int) -> list[tuple[str, str]]:
    rng = random.Random(f"firings {seed}")
    made = []
    for number in range(1, count + 1):
        cone = rng.choices(("6", "05", "5", "10"), (5, 3, 2, 1))[0]
        below, above = {"6": (5, 7), "5": (4, 6), "10": (9, 11), "05": ("06", "04")}[cone]
        witness = f"{{{below}: down, {cone}: half, {above}: standing}}"
        day = f"{2016 + number // 120}-{1 + number % 120 // 10:02}-{1 + number % 28:02}"
        write(
            folder / f"firings/load-{number}.yml",
            f"fired: {day}\nkiln: north\nheat: electric\natmosphere: oxidation\naimed: {cone}\n"
            f"witness:\n  top: {witness}\n  bottom: {witness}\n",
        )
        made.append((f"load-{number}", cone))
    return made


def _tile(
    folder: Path, number: int, stock: Stock, firing: str, cone: str, rng: random.Random
) -> None:
    """Three or four clears across; down one to three coats, or several colours."""
    meant = [id for id, cones in stock.clears.items() if cone in cones.split("..")]
    others = [id for id in stock.clears if id not in meant]
    columns = rng.choice((3, 3, 3, 4))
    clears = rng.sample(meant, min(columns, len(meant)))
    clears += rng.sample(others, columns - len(clears))
    rows = rng.choice((1, 1, 2, 3))
    colours = rng.sample(stock.underglazes, rows if rng.random() < 0.3 else 1)
    down = ""
    if rows > 1:
        what = f"underglaze: [{', '.join(colours)}]"
        if len(colours) == 1:
            what = f"clear coats: [{', '.join(map(str, range(1, rows + 1)))}]"
        down = f"down: {{{what}}}\n"
    everywhere = f"  underglaze: {colours[0]}\n" if len(colours) == 1 else ""
    everywhere += "" if "clear coats" in down else f"  clear coats: {rng.randint(1, 3)}\n"
    id = f"{colours[0]}-{number}"
    write(
        folder / f"tiles/{firing}/{id}/tile.yml",
        f"mark: {number}\nfirings: [{firing}]\nshelf: {rng.choice(('top', 'bottom'))}\n"
        f"stood: upright\nlower edge: bottom\nacross: {{clear: [{', '.join(clears)}]}}\n{down}"
        f"all:\n{everywhere}  underglaze coats: 3\n  underglaze by: brush\n"
        f"  clear by: sponge then brush\n  body: {rng.choice(stock.bodies)}\n"
        f"  body was: bisque 04\n  underglaze fired: 04\n{_judged(rows, columns, rng)}"
        f"notes: {rng.choice(invented.REMARKS)}\n",
    )


def _judged(rows: int, columns: int, rng: random.Random) -> str:
    """One or two people, each with a picture of colour and one of the surface."""
    text = "judged:\n"
    for person in rng.sample(invented.PEOPLE, rng.choice((1, 1, 1, 2))):
        text += f"  - by: {person}\n    on: 2026-03-22\n"
        for prop, words, weights in (
            ("colour", ("true", "shifted brown", "shifted paler", "faded", "."), (12, 3, 2, 2, 1)),
            ("surface", ("clean", "hazy", "pinholed", "."), (12, 2, 1, 5)),
        ):
            text += f"    {prop}:\n"
            for _ in range(rows):
                text += f"      - [{', '.join(rng.choices(words, weights, k=columns))}]\n"
    return text


if __name__ == "__main__":
    main()
