"""Bugs in where copies go, and which of them back a use."""

from tests.bench.sown.bug import MODEL, Bug

FLOWS = (
    Bug(
        "untouched asked for, handed back served",
        f"{MODEL}/serving.py",
        "if giver.index == use.index or use.untouched:",
        "if giver.index == use.index:",
    ),
    Bug(
        "not handed on to a beat that follows at once",
        f"{MODEL}/serving.py",
        "return giver.end_s <= use.start_s",
        "return giver.end_s < use.start_s",
    ),
    Bug(
        "margin of what comes back forgotten",
        f"{MODEL}/serving.py",
        "return reuse and giver.back <= use.due",
        "return reuse and giver.back <= use.start",
    ),
    Bug(
        "carried to another run without reuse",
        f"{MODEL}/serving.py",
        "return reuse and (found.ready_for",
        "return (found.ready_for",
    ),
    Bug(
        "carried into a batch without reuse",
        f"{MODEL}/serving.py",
        "if (source.left is None or reuse) and _can_feed",
        "if _can_feed",
    ),
    Bug(
        "a beat that lacks leaves all the same",
        f"{MODEL}/serving.py",
        "<= source.count_max * met)",
        "<= source.count_max)",
    ),
    Bug(
        "all handed back where some are used up",
        f"{MODEL}/serving.py",
        "if 0 < use.hands_back < use.count:",
        "if 0 < use.hands_back < 0:",
    ),
    Bug(
        "stock taken twice",
        f"{MODEL}/serving.py",
        "sheet.model.add(going <= source.count_max)",
        "sheet.model.add(going <= 2 * source.count_max)",
    ),
    Bug(
        "handed on though it never came",
        f"{MODEL}/serving.py",
        "for flow in leaving) <= came)",
        "for flow in leaving) <= came + 1)",
    ),
    Bug(
        "inputs missing",
        f"{MODEL}/serving.py",
        "sheet.model.add(came == maybe.takes(stage))",
        "sheet.model.add(came <= maybe.takes(stage))",
    ),
    Bug(
        "slack before a batch forgotten",
        f"{MODEL}/timing.py",
        "ready + slack_min <= flow.batch.starts",
        "ready <= flow.batch.starts",
    ),
    Bug(
        "keeping time a minute long before a batch",
        f"{MODEL}/timing.py",
        "flow.batch.starts_until <= staged + keeps_min",
        "flow.batch.starts_until <= staged + keeps_min + 1",
    ),
    Bug(
        "keeping time a minute long before a use",
        f"{MODEL}/timing.py",
        "sheet.model.add(staged >= first)",
        "sheet.model.add(staged >= first - 1)",
    ),
    Bug(
        "keeping time a minute short",
        f"{MODEL}/timing.py",
        "sheet.model.add(staged >= first)",
        "sheet.model.add(staged >= first + 1)",
    ),
    Bug(
        "touched mark not passed on",
        f"{MODEL}/touched.py",
        "sheet.model.add(mark >= taint)",
        "sheet.model.add(mark >= 0)",
    ),
    Bug(
        "handed back as if never shown",
        f"{MODEL}/touched.py",
        "taint = 1 if flow.after is not None else flow.source.touched",
        "taint = flow.source.touched",
    ),
    Bug(
        "put into a batch before it is back",
        f"{MODEL}/timing.py",
        "ready = source.back if flow.after is None else flow.after.back",
        "ready = source.back",
    ),
)

BACKUPS = (
    Bug(
        "backups kept for later counted twice",
        f"{MODEL}/backups.py",
        "standing += [idle, later]",
        "standing += [idle, later, later]",
    ),
    Bug(
        "idle backups counted twice",
        f"{MODEL}/backups.py",
        "standing += [idle, later]",
        "standing += [idle, idle, later]",
    ),
    Bug(
        "taken at the same minute, and a backup",
        f"{MODEL}/backups.py",
        "flow.use.start > use.start else 0",
        "flow.use.start >= use.start else 0",
    ),
    Bug(
        "used up at the same minute, and a backup",
        f"{MODEL}/backups.py",
        "flow.batch.starts_until >= use.start + 1",
        "flow.batch.starts_until >= use.start",
    ),
    Bug(
        "a backup that was on camera",
        f"{MODEL}/backups.py",
        "        if use.untouched:\n            sheet.model.add(source.touched == 0)"
        ".only_enforce_if(ready)\n",
        "",
    ),
    Bug(
        "a backup that comes late",
        f"{MODEL}/backups.py",
        "sheet.model.add(source.staged <= use.due).only_enforce_if(ready)",
        "sheet.model.add(source.staged <= use.start).only_enforce_if(ready)",
    ),
)
