"""Commands to export and import: tables, sheets, pages."""
