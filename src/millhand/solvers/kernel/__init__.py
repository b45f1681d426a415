"""The simulation of a cell, and how it reads docs/cell.md where that leaves a choice.

Loading
* Calls come before parts: whoever is free answers the most urgent call that it may, then loads. So duties that load a
  person fully show as lost output, and are never put off for ever.
* A part in hand is put down first; with a hand free a machine that waits comes before the outfeed. Then a part is
  fetched that a station waits for; then, with an exchange ahead, a raw part for it; last of all a store is filled.
* `longest_waiting`, `nearest` and `order` choose among stations that wait, and wait themselves where none does. Only
  `first_to_finish` goes ahead to a station that is still at work.
* Several hands fill one load (`batch`) in one trip; they do not carry parts for several machines.
* The station that a part in hand was promised to stays promised while its bearer answers a call. Whether a part is the
  n-th that goes to a check is settled when somebody sets out to take it.
* Of several part types of one supply the one furthest behind its share comes first.
* An exchange takes its hold and the turn between the hands; picking and then placing at one station has the turn too.

Troubles and calls
* Wear is looked at when a load ends. A limit that is reached takes a spare; without one the station stands and calls.
  A duty by clock that also renews wear is called once for each wear in use.
* A fault on the clock that falls into handling comes when handling ends. `load` faults come at the start of the load.
  `stops: all` stops stations and arms, never persons.
* `parts` counts a part when it is taken out. Such calls add up; calls by level and clock do not.
* Response runs from the call; the way lies inside it, and only then is the person bound.
* Whoever is not needed stays where it is; after hours it is at home again.
* A gap between two intervals is a break where it is shorter than both, otherwise it is time off.
* After `retries` a pick without a duty is given up and something is chosen anew.

What cannot be computed yet is refused by name (refusals.py).
"""
