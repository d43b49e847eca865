"""What a file may not say: one file a family of rules, one function a rule.

A rule of a day takes its `Outline` and yields what it finds. A new rule is a function in the file
of its family, named in that file's RULES.
"""

from app.planning.refusals import (
    beats,
    circles,
    ids,
    phases,
    references,
    spans,
    stages,
    twice,
    ways,
)

FAMILIES = (ids, references, twice, circles, spans, ways, phases, stages, beats)
RULES = tuple(rule for family in FAMILIES for rule in family.RULES)

# What a production that is being built may still break: its screens tell it beside the fields.
OPEN_TILL_PLANNED = (spans, ways, phases, stages, beats)
FIRM_RULES = tuple(
    rule for family in FAMILIES if family not in OPEN_TILL_PLANNED for rule in family.RULES
)
