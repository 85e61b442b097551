"""Print pip constraints that pin every package pyproject names to the oldest version it allows.

python .ci/oldest.py > oldest.txt && python -m pip install -e ".[test]" -c oldest.txt
"""

import re
import tomllib
from pathlib import Path

project = tomllib.loads(Path(__file__).parent.with_name("pyproject.toml").read_text(encoding="utf-8"))["project"]
wanted = [*project["dependencies"], *(line for extra in project["optional-dependencies"].values() for line in extra)]
for line in wanted:
    need, _, marker = line.partition(";")
    match = re.fullmatch(r"([\w.-]+)(?:\[[\w,]+\])?>=([\w.]+)", need.replace(" ", ""))
    if match is None:
        raise SystemExit(f"{line}: write it as name>=version, so that the oldest version is known")
    print(f"{match[1]}=={match[2]}" + (f" ;{marker}" if marker else ""))
