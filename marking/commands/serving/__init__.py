"""A desk for a department, from the terminal: who may sign in, where it listens, and a name proved by its password."""

from marking.commands.serving.desk_accounts import asks_for_people, people
from marking.commands.serving.desk_served import serve
from marking.commands.serving.proving import prove_account

__all__ = ["asks_for_people", "people", "prove_account", "serve"]
