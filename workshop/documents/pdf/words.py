"""Every fixed text of the papers, in English.

The papers pass each through a translator before it is printed; `_` only marks it as one to translate.
Words in braces are filled in after translation.
"""


def _(text: str) -> str:
    return text


LEDGER = _("The bowyer's workshop ledger")
INVENTED = _("An invented workshop – not a real bow")
PAGE_OF = _("page {page} of {pages}")
RULER = _("{length} mm: if it measures otherwise, print at 100 %, not fitted to the page")
RULER_SHORT = "{length} mm"

# Names of facts
BOW = _("Bow")
TIMBER = _("Timber")
LENGTH = _("Length")
BRACE_HEIGHT = _("Brace height")
STRING = _("String")
DATE = _("Date")

# Tags
STAVE_TAG = _("Stave tag {tag}")
STAVE_TAGS = _("Stave tags {first} to {last}")
FELLED = _("felled {date}")
RATING_TAG = _("Rating tag of bow {number}")
PLAIN_TAG = _("Tag of bow {number}")
AT_DRAW = _("at {draw}")
NO_WEIGHT_STATED = _("No draw weight is stated on this tag.")
TAG_CAUTION_RATED = _(
    "Never draw past {draw}. Never let the string go without an arrow. Read the care sheet first."
)
TAG_CAUTION = _("Never let the string go without an arrow. Ask the maker before drawing it.")

# Care sheet
CARE_SHEET = _("Care sheet")
CARE_SHEET_OF = _("Care sheet of bow {number}")
BOW_NUMBERED = _("Bow {number}")
MEASURED = _("Measured weight")
WEIGHT_AT_DRAW = _("{weight} at {draw}")
NO_RATING = _("No draw weight was measured for this sheet.")
FURTHEST_DRAW = _("Never draw past")
LIGHTEST_ARROW = _("Lightest arrow")
ARROW_LENGTH = _("Arrow length")
UPPER_LIMB = _("Upper limb")
HANDED_OVER = _("Handed over")
ASK_THE_MAKER = _("not stated: ask the maker")
THIS_BOW = _("About this bow")
TERMS = _("Terms and warranty")

FIRST_OF_ALL = _("First of all")
LAW_FIRST = _(
    "Local law and the rules of club and range come first. "
    "Some places restrict carrying, shooting, hunting or selling bows."
)
MAY_BREAK = _("A wooden bow can break without warning.")

STRINGING = _("Stringing")
PARTS_OF_STRUNG_BOW = (
    _("upper limb"),
    _("back, away from you"),
    _("belly, toward you"),
    _("brace height"),
    _("nock"),
)
STRINGING_POINTS = (
    _("String it as shown, right way up, to the brace height given."),
    _("Unstring it when you are not shooting."),
    _("Use the string as supplied. Low-stretch material only if the nocks were made for it."),
)
NOCKS_LOW_STRETCH = _("The nocks of this bow were made for low-stretch material.")
NOCKS_NO_LOW_STRETCH = _(
    "Nothing is written of nocks made for low-stretch material on this bow: do not use it."
)

SHOOTING = _("Shooting")
NO_DRY_LOOSE = _("Never let the string go without an arrow.")
NEVER_PAST_DRAW = _("Never draw past the rated draw: {draw}.")
NEVER_PAST_UNKNOWN = _(
    "Never draw past the rated draw. None was measured here: ask the maker before you draw it."
)
SHOOTING_POINTS = (
    _(
        "A bow that was dry-fired (let go without an arrow) or overdrawn is not shot again "
        "until the maker has seen it."
    ),
    _("A few part draws first. Do not hold at full draw."),
    _("Arrows not lighter than stated, sound, straight and long enough."),
)

PEOPLE = _("People")
PEOPLE_POINTS = (
    _("Nobody in front of the bow or beside the limbs. A backstop that holds every arrow."),
    _("Eye protection the first times."),
    _("Children only with a competent grown-up."),
)

KEEPING = _("Keeping")
KEEPING_POINTS = (
    _("Keep it from heat, hot cars, radiators, strong sun, frost and damp."),
    _("Hang it or lay it flat."),
    _("Look over back, belly, nocks and string each time. Stop when anything shows, and ask the maker."),
)

# Bench card
BENCH_CARD = _("Bench card")
BENCH_CARD_OF = _("Bench card of bow {number}")
WANTED = _("Wanted weight")
LIMIT_OF_PULL = _("Limit of pull")
PIECES = _("Pieces")
CENTRE_LINE = _("Centre line")
GRIP_MARKS = _("Grip marks")
SECTION = _("Section")
CURVE = _("Intended curve")
NOTES = _("Notes")
LAYOUT = _("Layout")
BOTH_LIMBS = _("both")
DRAWN_TO_SCALE = _(
    "Above, half the width from the centre line; below, the depth under the back. "
    "Drawn to scale: lengths 1 : {along}, widths and depths 1 : {across}. Stations from the middle mark."
)
PARTS_OF_LAYOUT = (_("limb A"), _("limb B"), _("middle mark"), _("grip"))
STATION_TABLE = (
    _("Limb"),
    _("From middle mark"),
    _("Width"),
    _("Half width"),
    _("Depth"),
    _("As cut: width"),
    _("depth"),
)
AT_THE_BENCH = _("Take care")
MAKER_CAUTIONS = (
    _(
        "Dust of yew and several other timbers is poisonous or sensitising, and glues sensitise: "
        "extraction, mask, gloves."
    ),
    _("Pull on the tree by a rope, from well aside: a bow can jump the cradle or break at any new draw."),
    _("Eye protection at every pull."),
    _("Pull, read, let down, then write. Never further than the tiller was good at the last draw."),
)
PENCIL_TABLE = (_("Day"), _("Work done"), _("Draw"), _("Weight"), _("Brace height"), _("Set"))

# Order sheet
ORDER_SHEET = _("Order sheet")
ORDER_NUMBERED = _("Order {number}")
PROMISED = _("Promised for")
PERSONS = _("Persons")
ORDERED = _("Ordered")
MONEY = _("Money")
PRICE = _("Price")
DEPOSIT = _("Deposit agreed")
PAID = _("Paid so far")
STILL_DUE = _("Still to pay")
FOR_THE_WORKSHOP = _("for the workshop, day")
ORDERED_BY = _("ordered by, day")

# Draw-curve sheet
CURVE_SHEET = _("Draw curve")
CURVE_SHEET_OF = _("Draw curve of bow {number}, {date}")
HATCHED = _("hatched: stored energy, {energy}")
STORED_ENERGY = _("Stored energy")
SLOPE = _("Rise at the end")
HOW_MEASURED = _("How measured")
READINGS = _("Readings")
CURVE_TABLE = (_("Draw"), _("Weight"), _("Rise since the last"))
