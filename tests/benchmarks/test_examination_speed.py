"""How long it takes to draw an examination of sixty questions, beside what their keys take by themselves."""

from tests.benchmarks.beside import seconds
from thermo_kit.course.record import Record
from thermo_kit.practice.bank import load
from thermo_kit.practice.blueprint import read_blueprint
from thermo_kit.practice.examination import Sitting

PLAN = read_blueprint(
    'title = "Sixty"\nquestions = 60\nminutes = 90\npass_mark = 75\n[shares]\n'
    "theory = 20\nleaks = 20\npurity = 15\nparts = 15\ncharging = 10\nlaw_eu = 10\ncoolant = 10"
)
DRAWS = 3
# Drawing once more what the keys took, and the second that is allowed beside it.
MOST_SECONDS = 1.0


def test_drawing_sixty_questions(tmp_path, record_property):
    record, bank, told = Record(tmp_path), load(), []
    Sitting.begin(PLAN, bank, record).asked(0)
    for number in range(DRAWS):
        begun, sitting = seconds(lambda: Sitting.begin(PLAN, bank, record)), Sitting.resume(bank, record)
        for item in sitting.items:
            # What is read and compiled once belongs to neither.
            item.draw("before")
        asked = seconds(lambda sitting=sitting: [sitting.asked(at) for at in range(60)])
        # The same kind of work, once more with other numbers.
        keys = seconds(lambda sitting=sitting, n=number: [item.draw(f"keys {n}") for item in sitting.items])
        told.append((begun, asked, keys))
    begun, asked, keys = (sum(column) / DRAWS for column in zip(*told, strict=True))
    words = f"begun {1e3 * begun:.0f} ms, put {1e3 * asked:.0f} ms, keys alone {1e3 * keys:.0f} ms"
    record_property("ratio", f"an examination of 60: {words}, {(begun + asked) / keys:.2f} of the keys")
    assert begun < MOST_SECONDS
    assert begun + asked < 1.5 * keys + MOST_SECONDS
