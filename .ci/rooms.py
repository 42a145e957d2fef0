"""The rooms of framer and who imports whom, drawn from the imports as they are.

python3 .ci/rooms.py        prints the rooms from the top down, with what each imports
python3 .ci/rooms.py --dot  the same for Graphviz
"""

from __future__ import annotations

import ast
import sys
from collections import Counter, defaultdict
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent.parent / "framer"


def room_of(module: str) -> str:
    """The room a module is in, from its dotted name."""
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else ""


def imports() -> dict[str, Counter[str]]:
    """For each room, how many imports it has of each other one."""
    found: dict[str, Counter[str]] = defaultdict(Counter)
    for path in sorted(PACKAGE.rglob("*.py")):
        inside = path.relative_to(PACKAGE)
        room = inside.parts[0].removesuffix(".py")
        if room.startswith("__"):
            continue
        found[room].update()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module:
                names = [node.module]
            elif isinstance(node, ast.Import):
                names = [one.name for one in node.names]
            else:
                continue
            for name in names:
                other = room_of(name) if name.startswith("framer") else ""
                if other and other != room:
                    found[room][other] += 1
    return found


def from_the_top(found: dict[str, Counter[str]]) -> list[str]:
    """The rooms so that each stands above all that it imports.

    Raises:
        SystemExit: there is a ring.
    """
    left, order = dict(found), []
    while left:
        imported = {other for room in left for other in left[room]}
        free = sorted(room for room in left if room not in imported)
        if not free:
            sys.exit(f"a ring of imports among: {', '.join(sorted(left))}")
        # of several, the one that imports most, so that near ones stay together
        free.sort(key=lambda room: -sum(left[room].values()))
        order.append(free[0])
        del left[free[0]]
    return order


def main() -> None:
    """Print the rooms."""
    found = imports()
    order = from_the_top(found)
    if "--dot" in sys.argv:
        print("digraph framer { rankdir=TB; node [shape=box];")
        for room in order:
            for other, count in sorted(found[room].items()):
                print(f'  {room} -> {other} [label="{count}"];')
        print("}")
        return
    for room in order:
        below = sorted(found[room], key=order.index)
        print(f"{room:10} imports {', '.join(below) or 'no other room'}")


if __name__ == "__main__":
    main()
