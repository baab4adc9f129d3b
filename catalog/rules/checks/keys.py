"""Whether the private keys lie in keys/ as they were made: there, ours, and for their owner alone."""

from collections.abc import Iterator

from catalog.records import artist_keys, private_keys
from catalog.records.artist_keys import ArtistKey
from catalog.records.private_keys import FOLDER, open_to_others, path_of
from catalog.rules.checks.findings import Finding, Subject


def keys_kept(subject: Subject) -> Iterator[Finding]:
    """Whether private keys are there, belong to their public ones, and can be read by nobody else."""
    keys = artist_keys.all_keys(subject.connection)
    for key in keys:
        yield from _kept(subject, key)
    folder = subject.folder / FOLDER
    if folder.is_dir() and open_to_others(folder):
        yield Finding("warning", "", f"Others on this machine can look into {FOLDER}/; make it yours: chmod 700.")
    for path in private_keys.strangers(subject.folder, keys):
        yield Finding(
            "warning",
            "",
            f"{FOLDER}/{path.name} belongs to no key of this catalog: either an older copy of the catalog was put "
            f"back, from before that key was made, or the file is of another catalog. Work on from the newest copy, "
            f"or move the file away.",
        )


def _kept(subject: Subject, key: ArtistKey) -> Iterator[Finding]:
    path = path_of(subject.folder, key.thumbprint)
    name, whose = f"{FOLDER}/{path.name}", f"the {key.holder}'s key {key.thumbprint[:8]}"
    how = private_keys.kept(subject.folder, key)
    if how == "missing":
        if not key.ended:
            yield Finding(
                "note", "", f"The private half of {whose} is not in {FOLDER}/; it may be kept elsewhere: be sure it is."
            )
        return
    if how in ("another's", "no key"):
        what = "another key" if how == "another's" else "no key"
        yield Finding(
            "error",
            "",
            f"{name} holds {what}, and it should hold the private half of {whose}: it was exchanged or damaged, and "
            f"nothing can be signed with it. Bring back the right one from where it is kept safe.",
        )
    if how == "unreadable":
        yield Finding("warning", "", f"{name}, the private half of {whose}, cannot be read by you; change its owner.")
    if open_to_others(path):
        yield Finding("warning", "", f"Others on this machine can read {name}, the private half of {whose}: chmod 600.")
