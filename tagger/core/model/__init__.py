"""Values of the trade, and text from outside; nothing here knows a lot."""
