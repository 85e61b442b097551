"""A zero of a monotone function between two ends."""


def monotone_root(function, low, high, *, at_low, at_high, tolerance):
    """Return where a function crosses zero: false position with a halving rule (Illinois)."""
    moved, middle = None, low
    for _ in range(100):
        middle = high - at_high * (high - low) / (at_high - at_low)
        value = function(middle)
        if abs(value) <= tolerance or abs(high - low) < 1e-11 * abs(high):
            return middle
        if (value < 0.0) == (at_high < 0.0):
            high, at_high = middle, value
            at_low *= 0.5 if moved == "high" else 1.0
            moved = "high"
        else:
            low, at_low = middle, value
            at_high *= 0.5 if moved == "low" else 1.0
            moved = "low"
    return middle
