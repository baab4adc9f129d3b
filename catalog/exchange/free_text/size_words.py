"""The words and signs of sizes in English, French and German: units, sides, what is measured, and trade sizes."""

MICROMETRES = {
    "mm": 1_000, "cm": 10_000, "m": 1_000_000, "cms": 10_000, "centimeters": 10_000, "centimetres": 10_000,
    "centimètres": 10_000, "zentimeter": 10_000, "millimeters": 1_000, "millimetres": 1_000, "millimètres": 1_000,
    "millimeter": 1_000, "ins": 25_400, "in": 25_400, "inch": 25_400, "inches": 25_400, "zoll": 25_400,
    '"': 25_400, "″": 25_400, "”": 25_400, "“": 25_400, "''": 25_400, "’’": 25_400, "\x94": 25_400,
}  # fmt: skip
# A French inch of old lists is not 25.4 mm, and feet are written of walls: both are left to a person.
NOT_TAKEN = frozenset(("ft", "foot", "feet", "fuß", "fuss", "pied", "pieds", "pouce", "pouces", "po", "'"))
BETWEEN = frozenset(("x", "×", "*", "by", "sur", "auf", "mal"))

_SIDES = {
    "height": "h ht hgt height high hauteur haut höhe hoehe hoch",
    "width": "w wd width wide b br breite breit l lg larg largeur large",
    "depth": "d dp depth deep t tiefe tief prof profondeur thick thickness dicke épaisseur",
}
_MEASURED = {
    "image": "image images img picture bild bildmaß bildmass bildgröße sujet motif",
    "sheet": "sheet paper blatt blattmaß blattmass blattgröße papier feuille print abzug épreuve épr tirage",
    "plate": "plate platte plattenmaß plaque negative négatif negativ glass glas verre",
    "mount": "mount mounting mounted mat karton carton montage passepartout untersatzkarton",
    "frame": "frame framed rahmen gerahmt cadre encadré",
    "": "overall objektmaß objekt total support sup unframed",
}
_NOT_KEPT = ("ca c circa about approx approximately environ env etwa ungefähr irregular irreg irrégulier unregelmäßig "
             "oval ovale stereo stéréo")  # fmt: skip
_FILLING = "size sizes format dimensions dimension maße masse maß vorlage each jeweils chacun je of with the"

SIDES = {word: side for side, words in _SIDES.items() for word in words.split()}
MEASURED = {word: which for which, words in _MEASURED.items() for word in words.split()}
NOT_KEPT = frozenset(_NOT_KEPT.split())  # each is named in a doubt
FILLING = NOT_KEPT | frozenset(_FILLING.split())  # said of a size without changing it

# Sizes that the trade names without a unit, shorter side first, in hundredths: sheets and plates sold by the inch, and
# by the centimetre. Common practice, no source; always told as doubtful.
TRADE = {
    "in": {(400, 500), (500, 700), (800, 1000), (1100, 1400), (1600, 2000), (2000, 2400),
           (275, 325), (325, 425), (425, 550), (475, 650), (650, 850)},  # sixth, quarter, both halves and whole plate
    "cm": {(600, 600), (600, 700), (600, 900), (650, 900), (900, 1200), (1000, 1500), (1300, 1800), (1800, 2400),
           (2400, 3000), (3000, 4000), (4000, 5000), (5000, 6000)},
}  # fmt: skip

# Names of plates in French and German, as the English names that `catalog.measures` knows. Nominal, like those; common
# practice, no source. A half plate meant several sizes, and is refused there as here.
PLATES = {
    "pleine plaque": "whole plate", "plaque entière": "whole plate", "ganze platte": "whole plate",
    "ganzplatte": "whole plate", "vollplatte": "whole plate", "demi plaque": "half plate",
    "demi-plaque": "half plate", "halbe platte": "half plate", "halbplatte": "half plate",
    "quart de plaque": "quarter plate", "viertelplatte": "quarter plate", "sixième de plaque": "sixth plate",
    "sechstelplatte": "sixth plate", "huitième de plaque": "eighth plate", "neuvième de plaque": "ninth plate",
    "seizième de plaque": "sixteenth plate",
}  # fmt: skip
