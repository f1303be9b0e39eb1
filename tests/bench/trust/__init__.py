"""what the program bears: keys, files, pictures, damage and kills that nobody would send"""
