"""Cutting pieces from reels by trying everything."""


def least_cents(pieces: list[int], reel_ft: int, reel_cents: int, foot_cents: int) -> int:
    """The least that the pieces cost, each cut from a reel or bought by the foot."""
    pieces = sorted(pieces, reverse=True)
    best = sum(pieces) * foot_cents

    def place(index: int, rooms: tuple[int, ...], cents: int) -> None:
        nonlocal best
        if cents >= best:
            return
        if index == len(pieces):
            best = cents
            return
        piece = pieces[index]
        for room in set(rooms):
            if room >= piece:
                left = list(rooms)
                left.remove(room)
                place(index + 1, tuple(sorted([*left, room - piece])), cents)
        if piece <= reel_ft:
            place(index + 1, tuple(sorted([*rooms, reel_ft - piece])), cents + reel_cents)
        place(index + 1, rooms, cents + piece * foot_cents)

    place(0, (), 0)
    return best
