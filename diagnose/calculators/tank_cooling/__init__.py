"""What a cooling jacket can do: where the wine settles, how soon, and what would get it colder.

The tank is an upright cylinder, well mixed. Heat comes in through the walls from the room, goes out through the part of
the jacket that wine touches, and a ferment adds its own; each flow is a conductance times a difference of temperature
(Newton's law of cooling). The two conductances are read off the tank itself, from what it does when full.
"""

from . import chill, curve, full_tank, tank, ways

__all__ = ["chill", "curve", "full_tank", "tank", "ways"]
