"""One part of the circuit each: specification in, result out."""
