"""The flags of a run of the plain twin."""

(
    PARTS_CHANGED,
    CALLS_CHANGED,
    STOCK_CHANGED,
    WAITING_CALLS,
    DRY,
    PEOPLE_HERE,
    HERE_SINCE,
    HERE_TIME,
    EVENTS,
    NOW,
) = range(10)
FLAGS = 10
