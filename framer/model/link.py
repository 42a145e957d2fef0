"""Links: an item follows another one of its pole, at a distance the planner set."""

from collections.abc import Iterable, Iterator

from msgspec import Struct

from framer.model.place import Offset


class Link(Struct, frozen=True, forbid_unknown_fields=True):
    """One item stays `drop_in` below another along their pole, as framed; negative is above it.

    "The buck arm stays 4 ft under the line arm" has the buck arm as `follower`.
    """

    follower: str
    leader: str
    drop_in: Offset


def linked(links: Iterable[Link], key: str) -> dict[str, float]:
    """Everything that moves when an item moves, and how far each is above that item.

    The item itself is at 0. Of links that contradict each other the first one reached counts.
    """
    near: dict[str, list[tuple[str, float]]] = {}
    for link in links:
        near.setdefault(link.leader, []).append((link.follower, -link.drop_in))
        near.setdefault(link.follower, []).append((link.leader, link.drop_in))
    found, todo = {key: 0.0}, [key]
    while todo:
        here = todo.pop()
        for other, above in near.get(here, ()):
            if other not in found:
                found[other] = found[here] + above
                todo.append(other)
    return found


def contradictions(links: Iterable[Link]) -> Iterator[tuple[int, str, str]]:
    """Links that cannot hold beside the ones before them: number, the follower, and why not.

    An item follows one other, and nothing follows itself, straight or round about.
    """
    leader_of: dict[str, str] = {}
    for number, link in enumerate(links):
        if link.follower in leader_of:
            yield number, link.follower, f"follows '{leader_of[link.follower]}' already"
            continue
        above: str | None = link.leader
        while above is not None and above != link.follower:
            above = leader_of.get(above)
        if above == link.follower:
            yield number, link.follower, "would follow itself"
            continue
        leader_of[link.follower] = link.leader
