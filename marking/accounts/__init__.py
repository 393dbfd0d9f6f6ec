"""Who may sign in at a desk that a department shares: names, roles, passwords, sessions. Never knows a mark."""

from marking.accounts.account_book import AccountBook
from marking.accounts.passwords import MOST_PASSWORD, Passwords, new_phrase, unfit_password
from marking.accounts.roles import Account, Role
from marking.accounts.sessions import Session, Sessions
from marking.accounts.slowing_down import Slowing

__all__ = [
    "MOST_PASSWORD",
    "Account",
    "AccountBook",
    "Passwords",
    "Role",
    "Session",
    "Sessions",
    "Slowing",
    "new_phrase",
    "unfit_password",
]
