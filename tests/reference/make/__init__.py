"""The reference tables, by what they are about; `../make.py` writes and compares them."""
