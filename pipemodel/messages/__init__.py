"""What the program says to people: sentences as a template's name with typed values, and their wording by language."""
