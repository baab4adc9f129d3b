"""Claims: what each grade lets a person say of a print, and what it does not."""

from catalog.rules.method_claims import CLAIMS_OF_METHOD, Claim
from catalog.rules.tested import Tested

# What rests on a test says what its method says. The rest is derived here: no record proves more than it holds.
CLAIMS_OF_GRADE = {
    "by proven routine": Claim(
        "it was worked as strips were that tested clean", "this print was tested, so much is left, or it is archival"
    ),
    "recorded": Claim("it was fixed and washed as recorded", "it is clean: no test counts for it"),
    "unrecorded": Claim("it went through what is recorded", "it was fixed and washed in full"),
    "failed": Claim(
        "more was found than the target that is named, and what shared its baths is in doubt",
        "the image will fade: a target is no limit of life",
    ),
}


def claim(grade: str, test: Tested | None = None) -> Claim:
    """What may be said at a grade, and what not; both go on after “that”. `test` is the one that it rests on."""
    if test is None:
        return CLAIMS_OF_GRADE[grade]
    if test.test.value is not None:
        if grade == "failed":
            return CLAIMS_OF_GRADE[grade]
        return CLAIMS_OF_METHOD.get(test.test.method, CLAIMS_OF_METHOD["laboratory"])
    if grade == "failed":
        return CLAIMS_OF_METHOD["stained drop"]
    return CLAIMS_OF_METHOD["clean drop"]


def claim_lines(hypo: Claim, silver: Claim, both_on_strips: bool) -> list[str]:
    """What may be said of a print and what not, a sentence each: one for both questions where it is the same."""
    told = [("Of both it", hypo)] if hypo == silver else [("Of hypo it", hypo), ("Of silver it", silver)]
    if both_on_strips:
        told.append(("It", CLAIMS_OF_METHOD["clean drops"]))
    return [f"{whom} may be said that {said.may}; not that {said.may_not}." for whom, said in told]
