"""Process words of negatives and prints in English, French and German, and what each means here.

Sources: the customary terms of the three languages as museums print them (open data of the Historisches Museum
Frankfurt, the Metropolitan Museum of Art, the Williams College Museum of Art; captions of the fonds Trutat, Muséum de
Toulouse); where none of these has a word, common practice, no source. Names of products and makers are left out.
"""

# How French captions lead up to the process: “plaque négative stéréoscopique au …”, “négatif sur plaque de verre au …”.
_PLATE = (r"(?:plaque |négatif )?(?:négative )?(?:stéréoscopique )?(?:(?:sur|de) )?(?:plaque de )?(?:verre )?"
          r"(?:négative )?(?:au )?")  # fmt: skip
_PRINT = r"(?:tirages?|épreuves?)"
_BROMIDE = r"gélatino[- ]?bromure(?: d['’]argent)?"
_PAPER = r"[- ]?(?:abzug|abzüge|druck|print|papier|vergrößerung)"

# The first line that fits takes its words; what is longer and says more stands first. (value, language, pattern)
NEGATIVES = (
    ("wet-collodion negative", "en", r"wet[- ]?(?:plate )?collodion(?: on)?(?: glass)?(?: plate)?(?: negatives?)?"
                                     r"|wet[- ]plate(?: negatives?)?|collodion wet plate"),
    ("wet-collodion negative", "fr", rf"{_PLATE}collodion humide"),
    ("wet-collodion negative", "de", r"nasse[srn]? kollodium(?:platten?|[- ]?negativ|verfahren)?"
                                     r"|(?:kollodium[- ]?)?na(?:ss|ß)platten?(?: aus glas)?"),
    ("dry-collodion negative", "en", r"dry[- ]collodion(?: negatives?)?|collodion dry[- ]plate(?: negatives?)?"),
    ("dry-collodion negative", "fr", rf"{_PLATE}collodion (?:sec|au tanin|albuminé)"),
    ("collodion negative", "en", r"collodion(?: glass)?(?: plate)? negatives?"),
    ("collodion negative", "fr", rf"{_PLATE}(?<=au )collodion"),
    ("collodion negative", "de", r"kollodium[- ]?(?:glas)?[- ]?(?:negativ|platte)"),
    ("gelatin dry-plate negative", "en", r"gelatine?[- ](?:silver )?(?:bromide )?"
                                         r"(?:dry[- ]plates?|glass[- ]plates?|glass)"
                                         r"(?: negatives?)?|dry[- ]plates?(?: negatives?)?"),
    ("gelatin dry-plate negative", "fr", rf"(?=[^,;]*(?:verre|plaque)){_PLATE}{_BROMIDE}|plaque sèche"),
    ("gelatin dry-plate negative", "de", r"(?:(?:brom)?silber)?gelatine[- ]?trockenplatten?"
                                         r"|trockenplatten?(?:negativ)?|silbergelatine auf glas"
                                         r"|gelatine[- ]?glasnegativ"),
    ("gelatin silver negative", "en", r"gelatin[- ]silver negatives?"),
    ("gelatin silver negative", "de", r"silbergelatine[- ]?negativ"),
    ("albumen negative", "en", r"albumen(?: glass)?(?: plate)? negatives?"),
    ("paper negative", "en", r"(?:waxed[- ])?paper negatives?|calotype negatives?"),
    ("paper negative", "fr", r"négatif (?:sur )?papier(?: ciré)?"),
    ("paper negative", "de", r"papiernegativ"),
)  # fmt: skip
PRINTS = (
    ("gelatin silver print", "en", r"(?:silver[- ]gelatine?|gelatine?[- ]silver)(?: bromide)?"
                                   r"(?: prints?| photographs?)"),
    ("gelatin silver print", "fr", rf"{_PRINT} (?:gélatino[- ]?)?argentiques?|{_PRINT} à la gélatine argentique"
                                   rf"|{_PRINT} (?:sur papier )?au {_BROMIDE}"
                                   rf"|{_PRINT} (?:sur papier )?au gélatino[- ]?chlorure(?: d['’]argent)?"),
    ("gelatin silver print", "de", rf"(?:silbergelatine|gelatine[- ]?silber|bromsilber(?:gelatine)?){_PAPER}"
                                   r"|silbergelatine auf papier"),
    ("albumen print", "en", r"albumen(?: silver)?(?: prints?)"),
    ("albumen print", "fr", rf"{_PRINT}(?: sur papier)? (?:à l['’]albumine|albuminée?s?)|papier albuminé"),
    ("albumen print", "de", rf"albumin{_PAPER}"),
    ("salted paper print", "en", r"salt(?:ed)?[- ]paper(?: prints?)?|salt prints?"),
    ("salted paper print", "fr", rf"(?:{_PRINT} sur )?papier salé"),
    ("salted paper print", "de", rf"salzpapier(?:{_PAPER})?"),
    ("cyanotype", "", r"cyanotypes?"),
    ("cyanotype", "de", r"[zc]yanotypien?|eisenblaudruck"),
    ("platinum-palladium print", "en", r"(?:platinum[-/ ](?:and )?palladium|palladium[-/ ]platinum|pt[-/]pd"
                                       r"|pd[-/]pt)(?: prints?)?"),
    ("platinum-palladium print", "fr", rf"(?:{_PRINT} )?(?:au )?platine[- /]palladium"),
    ("platinum-palladium print", "de", r"platin[-/ ]palladium[- ]?(?:druck|abzug|print)?"),
    ("platinum print", "en", r"platinum(?: prints?)?|platinotypes?"),
    ("platinum print", "fr", rf"{_PRINT}(?: photographiques?)?(?: au)? platine|platinotypies?"),
    ("platinum print", "de", r"platin(?:druck|abzug|print|otypie)"),
    ("palladium print", "en", r"palladium(?: prints?)|palladiotypes?"),
    ("palladium print", "fr", rf"{_PRINT}(?: au)? palladium"),
    ("palladium print", "de", r"palladium(?:druck|abzug|print)"),
    ("carbon print", "en", r"carbon(?: transfer)? prints?"),
    ("carbon print", "fr", rf"{_PRINT}(?: au)? charbon"),
    ("carbon print", "de", r"kohledruck|pigmentdruck|kohlepigmentdruck"),
    ("gum bichromate print", "en", r"gum(?:[- ](?:bi|di)chromate)?(?: prints?)"),
    ("gum bichromate print", "fr", rf"(?:{_PRINT} à la )?gomme bichromatée"),
    ("gum bichromate print", "de", r"gummidruck|gummibichromatdruck"),
    ("collodion printing-out print", "en", r"collodion printing[- ]out(?: paper)?(?: prints?)"),
    ("gelatin printing-out print", "en", r"gelatin(?: silver)? printing[- ]out(?: paper)?(?: prints?)"),
    ("kallitype", "", r"kallitypes?"),
    ("kallitype", "de", r"kallitypien?"),
    ("bromoil print", "en", r"bromoil(?: prints?)?"),
    ("bromoil print", "de", r"bromöldruck"),
    ("photogravure", "en", r"photogravures?"),
    ("photogravure", "fr", r"héliogravures?"),
    ("photogravure", "de", r"fotograv[üu]re|heliogravüre"),
    ("collotype", "", r"collotypes?"),
    ("collotype", "fr", r"phototypies?"),
    ("collotype", "de", r"lichtdruck"),
    ("ambrotype", "", r"ambrotypes?"),
    ("ambrotype", "de", r"ambrotypien?"),
    ("tintype", "en", r"tintypes?|ferrotypes?"),
    ("tintype", "fr", r"ferrotypies?"),
    ("tintype", "de", r"ferrotypie \(tintype\)"),
    ("daguerreotype", "en", r"daguerreotypes?"),
    ("daguerreotype", "fr", r"daguerréotypes?"),
    ("daguerreotype", "de", r"daguerreotypien?"),
    ("chromogenic print", "en", r"chromogenic(?: colou?r)? prints?|c[- ]prints?"),
    ("pigment print", "en", r"(?:archival )?pigment prints?"),
    ("pigment print", "fr", r"tirages? pigmentaires?"),
    ("photogram", "", r"photogramm?e?s?"),
)  # fmt: skip

# One word for a whole process, only where nothing else but its paper and toning stands; told as doubtful.
SHORT = {
    "albumen": "albumen print", "albumin": "albumen print", "albumine": "albumen print",
    "gelatin silver": "gelatin silver print", "silver gelatin": "gelatin silver print",
    "silbergelatine": "gelatin silver print", "bromsilbergelatine": "gelatin silver print",
    "argentique": "gelatin silver print", "carbon": "carbon print",
    "charbon": "carbon print", "platine": "platinum print", "platin": "platinum print",
}  # fmt: skip

_METALS = {
    "selenium": (r"selenium", r"sélénium", r"selen"), "gold": (r"gold", r"(?:l['’])?or", r"gold"),
    "sepia": (r"sepia", r"sépia", r"sepia"), "platinum": (r"platinum", r"platine", r"platin"),
    "palladium": (r"palladium", r"palladium", r"palladium"), "sulfide": (r"sul(?:f|ph)ide", r"sulfure", r"schwefel"),
    "copper": (r"copper", r"cuivre", r"kupfer"), "iron": (r"iron", r"fer", r"eisen"),
    "thiocarbamide": (r"thiocarbamide", r"thiocarbamide", r"thiocarbamid"),
}  # fmt: skip
TONINGS = tuple(
    (metal, language, pattern)
    for metal, (english, french, german) in _METALS.items()
    for language, pattern in (
        ("en", rf"{english}(?:[- ]toned| toning| toner|-?(?= and (?:\x00|\w+[- ]toned)))|toned (?:with|in) {english}"),
        ("fr", rf"(?:viré(?:e)?s?|virage) (?:au |à (?:la )?)?{french}"),
        ("de", rf"{german}[- ]?(?:getont(?:er|es|e)?|tonung|toner)|(?:mit|in) {german} getont"),
    )
) + (
    ("toned", "en", r"toned"),
    ("toned", "fr", r"viré(?:e)?s?"),
    ("toned", "de", r"getont(?:er|es|e)?"),
)
BASES = (
    ("resin-coated", "en", r"(?:on )?(?:resin[- ]coated|rc)(?: paper)?"),
    ("resin-coated", "fr", r"(?:sur )?papier (?:rc|plastifié)"),
    ("resin-coated", "de", r"(?:auf )?pe[- ]?papier"),
    (
        "fibre",
        "en",
        r"(?:on )?(?:fib(?:re|er)(?:[- ]?based?|(?= paper))|fb|double[- ]weight fib(?:re|er)|baryta)(?: paper)?",
    ),
    ("fibre", "fr", r"(?:sur )?(?:papier )?baryté"),
    ("fibre", "de", r"(?:auf )?baryt(?:papier)?"),
)
MOUNTS = (
    ("on card", "en", r"mounted (?:on|onto|to) (?:card|board|cardboard|mount board)|on (?:mount board|card mount)"),
    ("on paper", "en", r"mounted (?:on|onto) paper"),
    ("on card", "fr", r"(?:monté(?:e)?|contrecollé(?:e)?|collé(?:e)?) sur carton"),
    ("on card", "de", r"auf (?:unter(?:satz|lage))?karton (?:aufgezogen|montiert|kaschiert)|auf untersatzkarton"),
    ("on paper", "de", r"auf (?:festem )?papier (?:aufgezogen|montiert|kaschiert)"),
    ("on cloth", "de", r"kaschiert auf textiles gewebe(?: \(shirting\))?|auf leinwand (?:aufgezogen|kaschiert)"),
    ("on aluminium", "en", r"mounted (?:on|onto) alumini?um"),
    ("in a mat", "en", r"matted"),
    ("in a mat", "de", r"passepartout(?:-karton)?|karton \(passepartout\)"),
)
SUPPORTS = (
    ("glass", "en", r"(?:on )?glass(?: plates?)?(?: negatives?)?"),
    ("glass", "fr", r"(?:négatifs? |plaques? )?(?:sur )?(?:plaques? de )?verre"),
    ("glass", "de", r"(?:auf )?glas(?:platten?|[- ]?negative?)?"),
    ("film", "en", r"(?:on )?(?:sheet |roll |safety |nitrate |acetate )?film(?: negatives?)?"),
    ("film", "fr", r"négatifs? souples?(?: \(film\))?|sur film"),
    ("paper", "en", r"(?:on )?paper"),
    ("paper", "", r"(?:sur |auf )?papier"),
)
# Of a print: the negative it is from. It says nothing of the print, and is named in a doubt.
FROM_NEGATIVE = (r"from (?:an? )?(?:wet[- ]collodion |collodion |paper |film )?(?:glass )?(?:plate )?negatives?",
                 rf"d['’]après (?:un )?négatif(?: sur verre)?(?: au {_BROMIDE})?", r"vom glasnegativ")  # fmt: skip
# Words that tell nothing more where they stand beside others.
_FILLING = (
    "a an the of on and photograph photographs photographie fotografie photo print prints negative negatives négatif "
    "négatifs négative negativ plate plates plaque plaques platte épreuve épreuves tirage tirages photogr pos nég "
    "vorlage abzug un une et und auf sur de du la le au"
)
# With one of these the process may be another one: nothing is read.
_TURNING = (
    "not no non pas kein keine nicht after nach reproduction photo-reproduction reproduktion facsimile faksimile copy "
    "kopie copie imitation or oder ou unknown mixed contretype fac-similé digital over über"
)
FILLING, TURNING = frozenset(_FILLING.split()), frozenset(_TURNING.split())
