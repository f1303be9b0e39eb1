"""Pure rules of the trade: no terminal, no disk format, no pixels."""
