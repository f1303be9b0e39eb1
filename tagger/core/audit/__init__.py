"""What the feeder got wrong, told from what was measured."""
