// A button that prints, where the browser can be asked to.
const button = document.querySelector("[data-print]");
button.hidden = false;
document.querySelector("[data-no-print-button]").hidden = true;
button.addEventListener("click", () => window.print());
