"""What a student does next: a step in their own numbers, checked before print, and one more of its kind."""

from reports.next_step.line_points import line_points
from reports.next_step.own_numbers import wanted_unit
from reports.next_step.tasks import Question, Task, starter
from reports.next_step.what_now import Now, Tasks, as_task, task_for, what_now, worked_line

__all__ = [
    "Now",
    "Question",
    "Task",
    "Tasks",
    "as_task",
    "line_points",
    "starter",
    "task_for",
    "wanted_unit",
    "what_now",
    "worked_line",
]
