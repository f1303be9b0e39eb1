"""Dividers: card-size sheets between the groups of a tray, that say what lies behind them."""
