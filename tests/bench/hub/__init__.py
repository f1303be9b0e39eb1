"""Several stations as one inventory on PostgreSQL: publish, kills, races, find, a day."""
