"""The people of the demo firm and how they sign in. Invented; loaded only when POURTALLY_DEMO is set."""

from typing import Final

PEOPLE: Final = (
    {"sign_in": "asha", "name": "Asha Verel", "role": "office", "password": "level-and-line-1"},
    {"sign_in": "imran", "name": "Imran Doss", "role": "site", "password": "level-and-line-2"},
    {"sign_in": "lena", "name": "Lena Okarro", "role": "site", "password": "level-and-line-3"},
    {"sign_in": "olive", "name": "Olive Tarn", "role": "owner", "password": "level-and-line-4"},
)
