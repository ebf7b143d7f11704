"""Files that carry others or text: mail, archives, office files, rich text, pictures, text."""
