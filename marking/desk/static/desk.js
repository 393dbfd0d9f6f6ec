// A key presses the button that names it, and knows nothing else. Every page works without this.
"use strict";
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.repeat || event.isComposing) return;
  const at = event.target;
  if (at instanceof HTMLElement && at.matches("input:not([type=file]), textarea, select")) {
    if (event.key === "Escape") at.blur();
    return;
  }
  // What the page is about comes before the ways to other pages: 2 gives two marks where there are two to give.
  const named = `[data-key="${CSS.escape(event.key)}"]`;
  const button = document.querySelector(`main ${named}`) ?? document.querySelector(named);
  if (button) {
    event.preventDefault();
    button.click();
  }
});
// A second press while the first is on its way is the same decision; the record knows it by its id.
for (const form of document.querySelectorAll("form[data-drop]")) {
  const input = form.querySelector("input[type=file]");
  for (const name of ["dragenter", "dragover"]) {
    form.addEventListener(name, (event) => { event.preventDefault(); form.classList.add("over"); });
  }
  form.addEventListener("dragleave", () => form.classList.remove("over"));
  form.addEventListener("drop", (event) => {
    event.preventDefault();
    input.files = event.dataTransfer.files;
    form.requestSubmit();
  });
}
if (document.querySelector("[data-again]")) setTimeout(() => location.replace("/"), 1000);
