"""What the panel beside the cards is made of: its blocks of lines, each in several forms."""
