"""Practice until ready for a certificate: the bank, what is due, the examination, the chance to pass it."""
