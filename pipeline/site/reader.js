// What a reader chooses on a page: units, a race, an analysis. Without this script every page
// says all it has to say, in both units and for the races of the trial.
"use strict";
(() => {
  const all = (query) => [...document.querySelectorAll(query)], one = (id) => document.getElementById(id);

  // Pages that were read are kept for a reader without a connection, where the browser can.
  const worker = new URL("sw.js", document.currentScript.src).href;
  navigator.serviceWorker?.register(worker).catch(() => {});

  // Units, remembered on this device.
  const recall = () => { try { return localStorage.getItem("units"); } catch { return null; } };
  const show = (units) => { document.documentElement.dataset.units = units; };
  if (all(".imperial").length) {
    const button = document.createElement("button");
    const label = () => { button.textContent = document.documentElement.dataset.units === "imperial" ? "Show km and g" : "Show miles and oz"; };
    button.type = "button";
    button.className = "units";
    show(recall() === "imperial" ? "imperial" : "metric");
    label();
    button.addEventListener("click", () => {
      show(document.documentElement.dataset.units === "imperial" ? "metric" : "imperial");
      try { localStorage.setItem("units", document.documentElement.dataset.units); } catch { /* not remembered */ }
      label();
    });
    document.querySelector("footer").prepend(button);
  }

  // My race: the forecast of pipeline/forecast, number for number.
  const curves = [
    (v) => 0.02724 * v * v * v + 1.7321 * v * v + 0.4538 * v + 18.91,
    (v) => { const k = v * 3.6; return 2.209 + 3.163 * k + 0.000525542 * k * k * k; },
    (v) => 3.5 + 12 * v,
  ];
  const gain = (cost, v, saving) => {
    const wanted = cost(v) / (1 - saving);
    let low = 0, high = 2 * v;
    while (cost(high) < wanted) high *= 2;
    for (let i = 0; i < 200; i++) {
      const middle = low + (high - low) / 2;
      if (middle === low || middle === high) break;
      if (cost(middle) < wanted) low = middle; else high = middle;
    }
    return high / v - 1;
  };
  const saved = (percent, test, metres, seconds) => curves.map((cost) =>
    seconds - seconds / (1 + gain(cost, metres / seconds, 1 - cost(test) / cost(test * (1 + percent / 100)))));
  const clock = (seconds) => {
    const whole = Math.round(Math.abs(seconds)), two = (n) => String(n).padStart(2, "0");
    const h = Math.floor(whole / 3600), m = Math.floor(whole % 3600 / 60);
    return (h ? h + ":" + two(m) : m) + ":" + two(whole % 60);
  };
  const signed = (seconds) => (Math.round(Math.abs(seconds)) === 0 ? "" : seconds < 0 ? "\u2212" : "+") + clock(seconds);
  const parseTime = (text) => {
    const parts = text.trim().split(":").map((p) => /^\d+(\.\d+)?$/.test(p) ? Number(p) : NaN);
    return parts.length < 2 || parts.length > 3 || parts.slice(1).some((p) => p >= 60) ? NaN : parts.reduce((sum, p) => sum * 60 + p, 0);
  };
  const form = document.querySelector("form.race");
  if (form) {
    const distance = one("race-distance"), unit = one("race-unit"), time = one("race-time"), help = one("race-help");
    const mile = 1609.344, perUnit = () => unit.value === "mi" ? mile : 1000;
    const named = { "21.0975km": "a half marathon", "42.195km": "a marathon", "1mi": "a mile", "1.609344km": "a mile" };
    const raceName = () => named[distance.value.trim() + unit.value] ?? distance.value.trim() + (unit.value === "mi" ? " miles" : "\u00a0km");
    const update = (keep) => {
      const number = /^\d+(\.\d+)?$/.test(distance.value.trim()) ? Number(distance.value) : NaN;
      const metres = number * perUnit(), seconds = parseTime(time.value), speed = metres / seconds;
      help.textContent = !(metres >= 1500 && metres <= 100000) ? "Write a distance from 1.5 to 100 km, such as 21.1." :
        !(seconds > 0) ? "Write the time as 1:32:00 or 41:30." :
        !(speed > 1 && speed < 8) ? "Nobody runs at that pace: check the distance and the time." : "";
      if (help.textContent) return;
      let far = seconds < 210 || seconds > 13800;
      const intervals = all(".intervals span");
      all(".saved tbody tr").forEach((row, i) => {
        const test = Number(row.dataset.speed), of = (key) => saved(Number(row.dataset[key]), test, metres, seconds);
        const mean = of("mean");
        row.querySelector("strong").textContent = signed((Math.min(...mean) + Math.max(...mean)) / 2);
        intervals[i].textContent = signed(Math.min(...of("low"))) + " to " + signed(Math.max(...of("high")));
        far = far || Math.abs(speed / test - 1) > 0.15;
      });
      one("race-far").hidden = !far;
      one("race-title").textContent = raceName() + " in " + clock(seconds);
      if (keep) history.replaceState(null, "", "#race=" + distance.value.trim() + unit.value + "&time=" + time.value.trim());
    };
    const fromAddress = () => {
      const found = /^#race=([\d.]+)(km|mi)&time=([\d:.]+)$/.exec(location.hash);
      if (found) [, distance.value, unit.value, time.value] = found;
      return found;
    };
    form.hidden = false;
    for (const field of [distance, unit, time]) field.addEventListener("input", () => update(true));
    form.addEventListener("submit", (event) => { event.preventDefault(); update(true); });
    for (const button of all("form.race [data-km]")) button.addEventListener("click", () => {
      // The time goes with the distance as race times usually do: to the power of 1.06.
      const before = Number(distance.value) * perUnit(), seconds = parseTime(time.value);
      distance.value = button.dataset.km;
      unit.value = "km";
      if (before > 0 && seconds > 0) time.value = clock(seconds * Math.pow(Number(button.dataset.km) * 1000 / before, 1.06));
      update(true);
    });
    addEventListener("hashchange", () => { if (fromAddress()) update(false); });
    if (fromAddress()) update(false);
  }

  // A strip of marks: each is told where a pointer, a finger or the keys choose it. A mark is all
  // that is drawn for it, on every width.
  const strip = (marks, told, name, first, after) => {
    const slider = document.createElement("input"), label = document.createElement("label");
    label.append(name, slider);
    slider.type = "range";
    slider.max = marks.length;
    slider.min = slider.value = 1;
    const tell = (i) => {
      marks.forEach((mark, j) => mark.forEach((part) => part.classList.toggle("chosen", i === j)));
      const words = marks[i][0].querySelector("title").textContent;
      slider.value = i + 1;
      slider.setAttribute("aria-valuetext", words);
      told.replaceChildren(words + ". ", ...after(marks[i][0]));
    };
    slider.addEventListener("input", () => tell(slider.value - 1));
    marks.forEach((mark, i) => mark.forEach((part) => {
      part.addEventListener("pointerenter", () => tell(i));
      part.addEventListener("click", () => tell(i));
    }));
    told.before(label);
    tell(first);
  };

  // The analyses of the answer, each with its address in the explorer.
  const marks = all("#robustness-strip .mark"), link = document.createElement("a");
  link.textContent = "Open it in the explorer";
  if (marks.length) {
    strip(marks.map((mark) => [mark]), document.querySelector("#robustness-strip .told"), "Go through the analyses",
      Math.max(0, marks.findIndex((mark) => mark.textContent.startsWith("as published"))),
      (mark) => { link.href = mark.dataset.href; return [link]; });
  }

  // The blocks of a session, in the order run: bars, and marks of the same name below them.
  const name = (part) => part.querySelector("title").textContent, parts = all(".order svg g");
  const names = new Set(parts.map(name));
  if (names.size) {
    strip([...names].map((words) => parts.filter((part) => name(part) === words)),
      document.querySelector(".order .told"), "Go through the blocks", 0, () => []);
  }
})();
