// Answers the questions of the check page by what stands on the screen, in whatever browser this runs in; the report as text.
async function drive(pack, answers) {
  const until = async (what, test) => {
    for (const begin = Date.now(); Date.now() - begin < 180000; ) {
      const found = test();
      if (found) return found;
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    throw new Error(`no ${what} came: ${document.body.innerText.slice(0, 400)}`);
  };
  const button = (form, text) => [...form.querySelectorAll("button")].find((one) => one.textContent.trim() === text);
  // The page adds this button once it listens: what is pressed before that is lost.
  const every = await until("page that listens", () => button(document, "Answer every question"));
  every.form.querySelector(`input[value="${pack}"]`).click();
  every.click();
  for (let asked = 0; asked < 150; asked++) {
    const screen = await until("question or report", () => document.querySelector("form[data-question]:not([data-old]), .sw-report"));
    if (screen.matches(".sw-report")) {
      const saved = new Promise((resolve) => {
        URL.createObjectURL = (blob) => (blob.text().then(resolve), "#");
      });
      HTMLAnchorElement.prototype.click = () => {};
      button(screen, "Save the report").click();
      return { asked, report: await saved };
    }
    screen.dataset.old = "";
    const wanted = answers[screen.dataset.question] ?? "dont-know";
    if (screen.dataset.kind === "number") {
      if (wanted === "dont-know") button(screen, "I don’t know").click();
      else {
        screen.querySelector("input").value = wanted;
        button(screen, "Continue").click();
      }
    } else {
      screen.querySelector(`input[value="${wanted}"]`).click();
      button(screen, "Continue").click();
    }
  }
  throw new Error("150 questions and still no report");
}
