// A chart with its controls: zoom, move, choose what is shown, read values at the pointer or by the arrow keys.
class Chart {
  constructor(figure, data) {
    Object.assign(this, { figure, data, decibel: data.kind === "frequency" });
    this.logarithmic = data.kind === "frequency";
    this.plot = figure.querySelector(".plot");
    this.select = figure.querySelector("[data-control=condition]");
    this.hiddenSeries = new Set();
    figure.hidden = false;
    this.draw();
    figure.addEventListener("click", (event) => this.press(event.target.dataset.control));
    figure.addEventListener("change", (event) => this.change(event.target));
    this.plot.addEventListener("keydown", (event) => this.key(event));
    themes.changed(() => this.chart.redraw(false, true));
    new ResizeObserver(() => this.fit()).observe(this.plot);
  }

  get unit() {
    return this.logarithmic && this.decibel ? "dB" : this.data.unit;
  }

  get condition() {
    return this.select ? Number(this.select.value) : 0;
  }

  get columns() {
    const chosen = this.data.curves[this.condition];
    this.detail = this.logarithmic ? null : curves.detail(chosen);
    return this.logarithmic
      ? curves.overFrequency(this.data.frequency, chosen, this.data.tops[this.condition], this.decibel)
      : curves.overTime(chosen);
  }

  // The dots of the curves that are shown, in values of the chart.
  get tops() {
    const value = (magnitude) => (this.decibel ? curves.decibels(magnitude) : magnitude);
    const shown = this.data.series.map((one, at) => ({ colour: one.colour, at })).filter(({ at }) => !this.hiddenSeries.has(at));
    return shown.map(({ colour, at }) => ({
      colour,
      dots: this.data.tops[this.condition][at].map(([frequency, magnitude]) => ({ frequency, value: value(magnitude) })),
    }));
  }

  size() {
    const width = Math.max(240, this.plot.clientWidth);
    return { width, height: Math.round(Math.min(420, Math.max(280, 0.45 * width))) };
  }

  fit() {
    const { width, height } = this.size();
    if (width !== this.chart.width || height !== this.chart.height) this.chart.setSize({ width, height });
  }

  // Draws anew, with the stretch that was shown before where there was one.
  draw() {
    const shown = this.chart ? { ...this.chart.scales.x } : null;
    if (this.chart) this.chart.destroy();
    const columns = this.columns;
    const times = columns[0];
    this.whole = [times[0], times[times.length - 1]];
    this.chart = new uPlot(this.options(), columns, this.plot);
    if (shown && shown.min !== null) this.show(shown.min, shown.max);
    else if (this.detail) this.show(...this.detail);
    else this.extent();
  }

  options() {
    const colour = (name) => () => themes.colour(name);
    const axis = (unit, size) => ({
      stroke: colour("muted"),
      grid: { stroke: colour("grid"), width: 1 },
      ticks: { stroke: colour("zero"), width: 1, size: 5 },
      font: "13px sans-serif",
      size,
      values: (_, values) => this.labels(values, unit),
    });
    const series = this.data.series.map((one, at) => ({
      label: one.name,
      stroke: colour(one.colour),
      width: 2,
      dash: one.dash,
      show: !this.hiddenSeries.has(at),
      spanGaps: true,
      points: { show: false },
    }));
    return {
      ...this.size(),
      legend: { show: false },
      padding: [this.logarithmic ? rhythms.room(this.data.bands) : null, null, null, null],
      cursor: { drag: { x: true, y: false }, points: { size: 7 } },
      scales: { x: { time: false, distr: this.logarithmic ? 3 : 1 }, y: { range: (_, low, high) => this.reach(low, high) } },
      axes: [
        { ...axis(this.logarithmic ? "Hz" : "s", 42), space: 70 },
        { ...axis(this.unit, 82), space: 36 },
      ],
      series: [{}, ...series],
      hooks: {
        drawClear: [() => this.behind()],
        draw: [() => this.marks()],
        setCursor: [() => this.read()],
        setScale: [(_, scale) => scale === "x" && this.extent()],
      },
    };
  }

  labels(values, unit) {
    const shown = values.filter((value) => value !== null);
    if (unit !== "Hz") {
      const labels = figures.ticks(shown, unit);
      return values.map((value) => (value === null ? null : labels[shown.indexOf(value)]));
    }
    // Of a logarithmic axis the decades alone, or all where less than one is shown.
    const decade = (value) => Math.abs(Math.log10(value) - Math.round(Math.log10(value))) < 1e-9;
    const few = shown.filter(decade).length < 2;
    return values.map((value) => (value !== null && (few || decade(value)) ? figures.value(value, unit) : null));
  }

  // A little room above and below; some height even for a flat line.
  reach(low, high) {
    if (low === null || high === null) return [-1, 1];
    const room = 0.06 * (high - low) || Math.abs(high) || 1e-3;
    return [low - room, high + room];
  }

  // What requirements allow, as a tinted band.
  behind() {
    const { ctx, bbox } = this.chart;
    for (const limit of this.data.limits || []) {
      const place = (value, otherwise) => {
        const at = value === null ? otherwise : this.chart.valToPos(value, "y", true);
        return Math.min(bbox.top + bbox.height, Math.max(bbox.top, at));
      };
      const [top, bottom] = [place(limit.high, bbox.top), place(limit.low, bbox.top + bbox.height)];
      ctx.save();
      ctx.globalAlpha = 0.15;
      ctx.fillStyle = themes.colour("allowed");
      ctx.fillRect(bbox.left, top, bbox.width, bottom - top);
      ctx.restore();
    }
    if (this.logarithmic) rhythms.shade(this.chart, this.data.bands);
  }

  // Over the curves: where drives repeat, and what rings.
  marks() {
    if (!this.logarithmic) return;
    rhythms.lines(this.chart, this.data.bands);
    const told = (dot) => `${figures.value(dot.value, this.unit)} at ${figures.value(dot.frequency, "Hz")}`;
    marked.draw(this.chart, this.tops, told);
  }

  // Positions on the axis of a chart over frequency count by ratio.
  bent(value) {
    return this.logarithmic ? Math.log(value) : value;
  }

  straight(value) {
    return this.logarithmic ? Math.exp(value) : value;
  }

  // Shows a stretch; never more than there is, never less than a ten-thousandth.
  show(from, to) {
    const [first, last] = this.whole.map((end) => this.bent(end));
    const all = last - first;
    const width = Math.min(all, Math.max(1e-4 * all, this.bent(to) - this.bent(from)));
    const start = Math.min(last - width, Math.max(first, this.bent(from)));
    this.chart.setScale("x", { min: this.straight(start), max: this.straight(start + width) });
  }

  zoom(factor, move) {
    const { min, max } = this.chart.scales.x;
    const [from, to] = [this.bent(min), this.bent(max)];
    const middle = 0.5 * (from + to) + move * (to - from);
    const half = 0.5 * factor * (to - from);
    this.show(this.straight(middle - half), this.straight(middle + half));
  }

  press(control) {
    if (control === "in") this.zoom(0.5, 0);
    else if (control === "out") this.zoom(2, 0);
    else if (control === "back") this.zoom(1, -0.25);
    else if (control === "forth") this.zoom(1, 0.25);
    else if (control === "all") this.show(...this.whole);
    else if (control === "detail" && this.detail) this.show(...this.detail);
    else if (control === "decibel") {
      this.decibel = !this.decibel;
      this.figure.querySelector("[data-control=decibel]").setAttribute("aria-pressed", String(this.decibel));
      this.draw();
    }
  }

  change(target) {
    if (target === this.select) this.draw();
    const series = target.dataset.series;
    if (series === undefined) return;
    const at = Number(series);
    if (target.checked) this.hiddenSeries.delete(at);
    else this.hiddenSeries.add(at);
    this.chart.setSeries(at + 1, { show: target.checked });
  }

  key(event) {
    const control = { "+": "in", "=": "in", "-": "out", 0: "all", Home: "all" }[event.key];
    const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (event.ctrlKey || event.altKey || event.metaKey || (!control && !step)) return;
    event.preventDefault();
    if (control) this.press(control);
    else {
      const width = this.chart.over.clientWidth;
      const before = this.chart.cursor.left >= 0 ? this.chart.cursor.left : 0.5 * width;
      const left = Math.min(width - 1, Math.max(0, before + 0.02 * step * width));
      this.chart.setCursor({ left, top: 0.5 * this.chart.over.clientHeight });
      this.figure.querySelector("[data-told]").textContent = this.reading().join(", ");
    }
  }

  // What stands at the pointer: place, then each curve that is shown.
  reading() {
    const { idx } = this.chart.cursor;
    if (idx === null || idx === undefined) return [];
    const told = [figures.value(this.chart.data[0][idx], this.logarithmic ? "Hz" : "s")];
    this.data.series.forEach((one, at) => {
      if (!this.hiddenSeries.has(at)) told.push(`${one.name} ${figures.value(this.chart.data[at + 1][idx], this.unit)}`);
    });
    return told;
  }

  read() {
    const { idx } = this.chart.cursor;
    const there = idx !== null && idx !== undefined && this.chart.cursor.left >= 0;
    const pointer = this.figure.querySelector("[data-pointer]");
    pointer.textContent = there ? figures.value(this.chart.data[0][idx], this.logarithmic ? "Hz" : "s") : "";
    for (const output of this.figure.querySelectorAll("[data-value]")) {
      const at = Number(output.dataset.value);
      const shown = there && !this.hiddenSeries.has(at);
      output.textContent = shown ? figures.value(this.chart.data[at + 1][idx], this.unit) : "";
    }
  }

  // What is worth keeping while the page is loaded anew, by names: options and conditions may come and go.
  kept() {
    const { min, max } = this.chart.scales.x;
    const condition = this.select ? this.select.selectedOptions[0].textContent : null;
    const hidden = [...this.hiddenSeries].map((at) => this.data.series[at].name);
    return { shown: [min, max], condition, hidden, decibel: this.decibel };
  }

  restore(kept) {
    const choices = this.select ? [...this.select.options] : [];
    const chosen = choices.find((option) => option.textContent === kept.condition);
    if (chosen) chosen.selected = true;
    if (kept.decibel !== this.decibel) this.press("decibel");
    else this.draw();
    this.data.series.forEach((one, at) => {
      const box = this.figure.querySelector(`[data-series="${at}"]`);
      box.checked = !kept.hidden.includes(one.name);
      this.change(box);
    });
    this.show(...kept.shown);
  }

  extent() {
    const { min, max } = this.chart ? this.chart.scales.x : {};
    if (min === null || min === undefined) return;
    const unit = this.logarithmic ? "Hz" : "s";
    this.figure.querySelector("[data-shown]").textContent = `${figures.value(min, unit)} to ${figures.value(max, unit)}`;
  }
}
