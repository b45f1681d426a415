"""Names by letters, as the columns of a spreadsheet have them."""


def letters(place: int) -> str:
    """The name of a place, counted from 0.

    >>> letters(0), letters(25), letters(26), letters(701), letters(702)
    ('A', 'Z', 'AA', 'ZZ', 'AAA')
    """
    name, left = "", place + 1
    while left:
        left, digit = divmod(left - 1, 26)
        name = chr(ord("A") + digit) + name
    return name
