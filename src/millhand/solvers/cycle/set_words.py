"""How many part sets a period has, in words."""


def sets_words(sets: int) -> str:
    """So many part sets."""
    return f"{sets} part set{'s' if sets > 1 else ''}"


def listed(numbers: list[int]) -> str:
    """Some numbers of part sets in words."""
    *first, last = [str(each) for each in numbers]
    return sets_words(numbers[0]) if not first else f"{', '.join(first)} or {last} part sets"
