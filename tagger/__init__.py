"""Tags scanned trading cards by keyboard."""

__version__ = "0.1.0"
