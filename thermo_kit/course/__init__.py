"""Exercises, answer sheets, marking and the learner's own record. Knows no physics."""
