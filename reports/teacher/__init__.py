"""What a teacher gets: the class summary, what to teach, papers for the wall and the technician."""

from reports.teacher.bench_words import bench_line
from reports.teacher.class_lesson import benches_off
from reports.teacher.class_summary import write_class_summary
from reports.teacher.department_summary import write_department_summary
from reports.teacher.evening_paper import EveningPage, Occasion, write_evening_pages
from reports.teacher.projector import write_projector_pages
from reports.teacher.staff_papers import write_staff_pages, write_task_answers, write_technician_note

__all__ = [
    "EveningPage",
    "Occasion",
    "bench_line",
    "benches_off",
    "write_class_summary",
    "write_department_summary",
    "write_evening_pages",
    "write_projector_pages",
    "write_staff_pages",
    "write_task_answers",
    "write_technician_note",
]
