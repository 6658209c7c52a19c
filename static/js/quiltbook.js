// Small helps that a page can do without: no double sending, focus on what went wrong, word of a lost
// connection, and the reader's own time zone when she signs up.

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (event.defaultPrevented || form.method !== "post") return;
  if (form.dataset.sent) event.preventDefault();
  else form.dataset.sent = "yes";
  if (form.dataset.busy) busy(event.submitter, form.dataset.busy);
});
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
  for (const button of document.querySelectorAll("[data-busy-now]")) {
    button.textContent = button.dataset.busyNow;
    delete button.dataset.busyNow;
  }
});

// Work that takes a second says so on the button that began it.
function busy(button, words) {
  if (!button) return;
  button.dataset.busyNow = button.textContent;
  button.textContent = words;
}

// A button that changes its own page keeps the focus when the page comes back; where it is gone or can do no more, the
// focus goes to what is said of it and the way back.
const PRESSED = "pressed";

document.addEventListener("submit", ({ submitter }) => {
  if (!submitter?.matches("[formaction], #notices button")) return;
  sessionStorage.setItem(PRESSED, JSON.stringify([location.pathname, submitter.getAttribute("formaction")]));
});

function focusOnPressed() {
  const [path, action] = JSON.parse(sessionStorage.getItem(PRESSED) ?? "[]");
  sessionStorage.removeItem(PRESSED);
  if (path !== location.pathname) return;
  const buttons = [...document.querySelectorAll("button[formaction]:enabled")];
  const notices = document.getElementById("notices");
  notices.tabIndex = -1;
  (buttons.find((button) => button.getAttribute("formaction") === action) ?? notices.querySelector("button") ?? notices).focus();
}

function focusOnWrong(root) {
  root.querySelector("[data-focus]")?.focus();
}

function say(sentence) {
  const place = document.getElementById("notices");
  if (!place) return;
  const notice = document.createElement("div");
  notice.className = "notice warning";
  const words = document.createElement("p");
  words.textContent = sentence;
  notice.append(words);
  place.replaceChildren(notice);
}

document.addEventListener("htmx:afterSettle", (event) => focusOnWrong(event.target));
document.addEventListener("htmx:sendError", () => say("Quiltbook cannot be reached just now. What you typed is still here: try again in a moment."));
document.addEventListener("htmx:responseError", (event) => {
  const gone = event.detail.xhr.status === 404;
  say(gone ? "That is not there any more. Open the page afresh to see what is." : "Something went wrong here, and nothing was changed. Try again.");
});

// On a narrow screen the steps of a plan run on beyond its edge: bring the present one into view.
function showStep() {
  const here = document.querySelector(".steps [aria-current]");
  if (!here) return;
  const steps = here.closest(".steps");
  const [step, bar] = [here.getBoundingClientRect(), steps.getBoundingClientRect()];
  steps.scrollLeft += step.left - bar.left - (bar.width - step.width) / 2;
}

document.addEventListener("DOMContentLoaded", () => {
  focusOnPressed();
  focusOnWrong(document);
  showStep();
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  for (const select of document.querySelectorAll("select[data-own-time-zone]")) {
    if ([...select.options].some((option) => option.value === zone)) select.value = zone;
  }
});
