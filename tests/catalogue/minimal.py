"""The smallest catalogue that loads, as text to change in one place."""

SOURCES = """
[paper]
citation = "A paper"
status = "read"
[our-default]
citation = "Ours"
status = "our-default"
[common-practice]
citation = "The trade"
status = "common-practice"
"""
TESTS = """
[lunge]
source = "paper"
where = "Table 1"
status = "read"
name = "Lunge"
link = "ankle"
tells = "How far the shin comes forward."
sides = "each"
unit = "cm"
methods = ["tape"]
position = "Standing."
steps = ["Bend your knee."]
trials = 3
minutes = 3
tags = ["end range"]
lowest = { value = 0, unit = "cm" }
[[lunge.errors]]
method = "tape"
tester = "same"
occasion = "between days"
mdc95 = { value = 1.9, unit = "cm" }
population = "Adults"
[felt]
source = "paper"
where = "page 2"
status = "read"
name = "Felt"
tells = "Where it is felt."
sides = "each"
reads = "words"
choices = [
  { key = "front", text = "in front", good = false },
  { key = "none", text = "nowhere", good = true },
]
methods = ["asked"]
position = "Standing."
steps = ["Point."]
trials = 1
minutes = 1
"""
TARGETS = """
[lunge]
source = "common-practice"
where = "taught"
status = "common-practice"
test = "lunge"
value = { value = 10, unit = "cm" }
sense = "at least"
why = "The knee passes the toes."
"""
NORMS = """
[lunge]
source = "paper"
where = "Table 2"
status = "read"
test = "lunge"
population = "Adults"
mean = { value = 12, unit = "cm" }
low = { value = 8, unit = "cm" }
interval = "range"
"""
CAUTIONS = """
[swollen]
source = "paper"
where = "page 3"
status = "read"
group = "Leg"
question = "Is it swollen?"
leads_to = "same-day doctor"
says = "A doctor today."
closes = ["end range"]
[heavy]
source = "paper"
where = "page 3"
status = "read"
group = "Record"
fact = "mass over"
limit = { value = 100, unit = "kg" }
leads_to = "note"
says = "Low boxes."
"""
DRILLS = """
[first]
source = "paper"
where = "page 4"
status = "read"
name = "First"
links = ["ankle"]
quality = "free"
helps = ["lunge"]
side = "each"
steps = ["Do it."]
cue = "Heel down."
stop = "Stop at pain."
minutes = 4
dose = { sets = 3, reps = 10, days_a_week = 3 }
[second]
source = "paper"
where = "page 4"
status = "read"
name = "Second"
links = ["ankle"]
quality = "strengthen"
helps = ["lunge"]
side = "each"
steps = ["Do it."]
cue = "Heel down."
stop = "Stop at pain."
minutes = 4
dose = { sets = 3, reps = 10, days_a_week = 3 }
regressions = ["first"]
gates = [
  { drill = "first", why = "First first." },
  { test = "lunge", value = { value = 8, unit = "cm" }, why = "Room." },
  { test = "felt", answer = "none", why = "No pinch." },
]
"""
SAMPLES = """
[people]
source = "paper"
where = "page 1"
status = "read"
stature = { female = 1.7, male = 1.8 }
mass = { female = 60, male = 75 }
"""
SEGMENTS = """
[thigh]
source = "paper"
where = "Table 4"
status = "read"
name = "Thigh"
sample = "people"
ends = "hip to knee"
mass_fraction = { female = 0.15, male = 0.14 }
com_fraction = { female = 0.4, male = 0.4 }
radius_sagittal = { female = 0.3, male = 0.3 }
radius_transverse = { female = 0.3, male = 0.3 }
radius_longitudinal = { female = 0.1, male = 0.1 }
length = { female = 370, male = 420 }
"""
MINIMAL = {
    "sources": SOURCES,
    "samples": SAMPLES,
    "segments": SEGMENTS,
    "tests": TESTS,
    "targets": TARGETS,
    "norms": NORMS,
    "cautions": CAUTIONS,
    "drills": DRILLS,
}


def changed(file: str, old: str, new: str) -> dict[str, str]:
    """Give the minimal catalogue with one passage of one file changed, once."""
    assert old in MINIMAL[file], f"{old!r} is not in {file}"
    return {**MINIMAL, file: MINIMAL[file].replace(old, new, 1)}
