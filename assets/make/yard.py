"""What stands about in the yard."""
from kit import *

BUILD = {}
LOOKS = {}
