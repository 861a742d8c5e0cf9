"""Goods told in one breath, each with its amount: "3 lb of citric and 2 gal of gel left", "gel 1 gal, citric 4 lb"."""

from __future__ import annotations

from bot.understand.marks import Mark

PRICES = ("money", "price")


def by_goods(marks: list[Mark]) -> list[list[Mark]]:
    """The marks of each product with its own amount and price; all of them as one where they do not stand in pairs."""
    line = [m for m in marks if m.kind in ("mass", "vol") or "product" in m.attrs]
    pairs = list(zip(line[::2], line[1::2], strict=False))
    goods = {m.attrs["product"] for m in line if "product" in m.attrs}
    if len(line) < 4 or len(line) % 2 or len(goods) < 2 or any(not _amount_and_product(a, b) for a, b in pairs):
        return [marks]
    edges = [pair[0].start for pair in pairs[1:]]
    rest = [m for m in marks if m not in line]
    own = [m for m in rest if m.kind in PRICES or "paid" in m.attrs or m.kind == "num"]
    out = []
    for i, pair in enumerate(pairs):
        begin, stop = edges[i - 1] if i else 0, edges[i] if i < len(edges) else 10**6
        mine = [m for m in rest if m not in own or (begin <= m.start < stop)]
        out.append(sorted([*pair, *mine], key=lambda m: m.start))
    return out


def _amount_and_product(one: Mark, two: Mark) -> bool:
    return (one.kind in ("mass", "vol")) != (two.kind in ("mass", "vol"))
