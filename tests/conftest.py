"""Settings of the property tests: the same examples at every run, no deadline since CoolProp loads slowly once."""

from hypothesis import HealthCheck, settings

settings.register_profile(
    "workbook",
    deadline=None,
    derandomize=True,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("workbook")
