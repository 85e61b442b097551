"""Laws that several parts share: films, friction, void fraction, fins, exchange, roots, closure, constants."""
