// The report page in a browser: it opens quietly, its controls do what they say, it prints, and nobody is shut out.
import assert from "node:assert/strict";
import { readFile, stat } from "node:fs/promises";
import { createRequire } from "node:module";
import { test } from "node:test";
import { A4, DESK, PHONE, browse, pageOf, pixels, shown } from "./support.mjs";

const AXE = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const CRAWLER = pageOf("crawler");
const TIME = "[data-kind=time]";
const FREQUENCY = "[data-kind=frequency]";

test("it opens from the disk without a complaint and fetches nothing", () =>
  browse(CRAWLER, {}, async (page) => {
    await page.locator(TIME).first().waitFor();
    assert.deepEqual(page.heard.complaints, []);
    assert.equal(page.heard.requests.length, 1, page.heard.requests.join("\n"));
  }));

test("the demo's page is smaller than 1.5 megabytes", async () => {
  const { size } = await stat(CRAWLER);
  assert.ok(size < 1.5e6, `${size} bytes`);
});

test("the answer stands first, in words", () =>
  browse(CRAWLER, {}, async (page) => {
    const first = await page.locator("main p").first().textContent();
    assert.match(first, /coil_cap_damped meet every requirement under all\s6\sconditions/);
  }));

test("zoom, move and all change what the axis shows", () =>
  browse(CRAWLER, {}, async (page) => {
    const chart = page.locator(TIME).first();
    const press = (name) => chart.getByRole("button", { name, exact: true }).click();
    await press("All");
    const all = await shown(chart);
    await press("Zoom in");
    const half = await shown(chart);
    assert.notEqual(half, all);
    await press("Later");
    assert.notEqual(await shown(chart), half);
    await press("Zoom out");
    await press("Zoom out");
    assert.equal(await shown(chart), all);
    await press("A few pulses");
    assert.match(await shown(chart), /µs$/);
  }));

test("dragging over the chart zooms, a double click shows all", () =>
  browse(CRAWLER, {}, async (page) => {
    const chart = page.locator(TIME).first();
    await chart.getByRole("button", { name: "All", exact: true }).click();
    const all = await shown(chart);
    const over = chart.locator(".u-over");
    await over.scrollIntoViewIfNeeded();
    const box = await over.boundingBox();
    await page.mouse.move(box.x + 0.3 * box.width, box.y + 50);
    await page.mouse.down();
    await page.mouse.move(box.x + 0.5 * box.width, box.y + 50, { steps: 4 });
    await page.mouse.up();
    assert.notEqual(await shown(chart), all);
    await over.dblclick({ position: { x: 200, y: 60 } });
    assert.equal(await shown(chart), all);
  }));

test("taking a tick away hides that curve alone", () =>
  browse(CRAWLER, {}, async (page) => {
    const before = { none: await pixels(page, TIME, "k"), first: await pixels(page, TIME, "c0") };
    assert.ok(before.none > 100 && before.first > 100, JSON.stringify(before));
    await page.locator(`${TIME} label`, { hasText: "resistor_cap" }).click();
    await page.waitForTimeout(100);
    assert.equal(await pixels(page, TIME, "c0"), 0);
    assert.ok((await pixels(page, TIME, "k")) > 100);
  }));

test("the pointer and the arrow keys tell values with their units", () =>
  browse(CRAWLER, {}, async (page) => {
    const chart = page.locator(TIME).first();
    await chart.locator(".u-over").hover({ position: { x: 300, y: 100 } });
    const value = await chart.locator("[data-value]").first().textContent();
    assert.match(value, /^−?[\d.]+ m?V$/);
    await chart.locator(".plot").focus();
    await page.keyboard.press("ArrowRight");
    const told = await chart.locator("[data-told]").textContent();
    assert.match(told, /µs, none −?[\d.]+ m?V, resistor_cap/);
    const before = await shown(chart);
    await page.keyboard.press("+");
    assert.notEqual(await shown(chart), before);
  }));

test("another condition shows other curves", () =>
  browse(CRAWLER, {}, async (page) => {
    const chart = page.locator(TIME).first();
    const image = () => page.evaluate((chart) => document.querySelector(`${chart} canvas`).toDataURL(), TIME);
    const before = await image();
    await chart.getByRole("combobox", { name: "Condition" }).selectOption({ label: "fresh, idle" });
    await page.waitForTimeout(100);
    assert.notEqual(await image(), before);
  }));

test("the curves over frequency switch between dB and the unit itself", () =>
  browse(CRAWLER, {}, async (page) => {
    const chart = page.locator(FREQUENCY).first();
    const button = chart.getByRole("button", { name: /dB/ });
    const value = async () => {
      await chart.locator(".u-over").hover({ position: { x: 200, y: 100 } });
      return chart.locator("[data-value]").first().textContent();
    };
    assert.match(await value(), /dB$/);
    await button.click();
    assert.equal(await button.getAttribute("aria-pressed"), "false");
    await page.mouse.move(0, 0);
    assert.match(await value(), /ohm$/);
  }));

test("the curves over frequency show what the drives repeat and what rings", () =>
  browse(CRAWLER, {}, async (page) => {
    const found = await page.evaluate(() => {
      const chart = charts.find((one) => one.logarithmic);
      const ctx = chart.chart.ctx;
      // The ground under the curves, between the lines of the grid.
      const ground = (frequency) => {
        const x = Math.round(chart.chart.valToPos(frequency, "x", true));
        const { top, height } = chart.chart.bbox;
        const { data } = ctx.getImageData(x, Math.round(top + height) - 12, 1, 1);
        return [...data].join();
      };
      const tinted = { slow: ground(130), fast: ground(260e3) };
      const dots = chart.tops.flatMap(({ dots }, at) =>
        dots.map((dot) => ({ dot, column: chart.chart.data[at + 1][chart.chart.data[0].indexOf(dot.frequency)] })),
      );
      chart.show(1e3, 1e6);
      return { tinted, beyond: ground(1.3e3), dots };
    });
    assert.notEqual(found.tinted.slow, found.tinted.fast, "up to 480 Hz the field is shaded");
    assert.equal(found.beyond, found.tinted.fast, "beyond it is not, wherever the view begins");
    assert.ok(found.dots.length >= 2);
    for (const { dot, column } of found.dots) assert.equal(dot.value, column, "a dot lies on its curve");
    const rings = () => page.evaluate(() => charts.find((one) => one.logarithmic).tops.filter(({ dots }) => dots.length).length);
    const before = await rings();
    await page.locator(`${FREQUENCY} label`).filter({ hasText: /^coil_cap / }).click();
    assert.equal(await rings(), before - 1);
  }));

test("dark and light follow the system, and the switch goes before it and is remembered", () =>
  browse(CRAWLER, { colorScheme: "dark" }, async (page) => {
    const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const dark = await ground();
    await page.getByRole("button", { name: "Light", exact: true }).click();
    const light = await ground();
    assert.equal(light, "rgb(255, 255, 255)");
    assert.notEqual(dark, light);
    await page.reload();
    assert.equal(await ground(), light);
    await page.getByRole("button", { name: "As the system" }).click();
    assert.equal(await ground(), dark);
    await page.waitForTimeout(100);
    assert.ok((await pixels(page, TIME, "k")) > 100, "the curves have the dark theme's colours");
  }));

for (const [name, options] of [
  ["light", {}],
  ["dark", { colorScheme: "dark" }],
  ["on a phone", { viewport: PHONE }],
])
  test(`an automatic check of accessibility finds no serious fault, ${name}`, () =>
    browse(CRAWLER, options, async (page) => {
      await page.evaluate(AXE);
      const { violations } = await page.evaluate(() => axe.run());
      const grave = violations.filter(({ impact }) => ["serious", "critical"].includes(impact));
      assert.deepEqual(grave.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join("\n")}`), []);
    }));

for (const [name, viewport] of [["phone", PHONE], ["desk", DESK]])
  test(`nothing lies beside the page on a ${name}`, () =>
    browse(CRAWLER, { viewport }, async (page) => {
      const width = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(width <= viewport.width, `${width} pixels`);
    }));

test("it prints on A4 with nothing cut, in the colours of paper", () =>
  browse(CRAWLER, { colorScheme: "dark", viewport: { ...A4, width: Math.round((A4.width * 182) / 210) } }, async (page) => {
    await page.emulateMedia({ media: "print" });
    const cut = await page.evaluate(() => {
      const room = document.documentElement.clientWidth;
      const out = (element) => {
        const { left, right, width } = element.getBoundingClientRect();
        return width > 0 && (left < -1 || right > room + 1 || element.scrollWidth > element.clientWidth + 1);
      };
      const seen = [...document.querySelectorAll("main *")].filter(
        (element) => !element.closest(".hidden, [hidden], svg") && element.checkVisibility() && getComputedStyle(element).display !== "inline",
      );
      return seen.filter(out).map((element) => element.outerHTML.slice(0, 120));
    });
    assert.deepEqual(cut, []);
    assert.equal(await page.evaluate(() => getComputedStyle(document.documentElement).getPropertyValue("--page").trim()), "#ffffff");
    assert.equal(await page.locator(".still").first().isVisible(), true);
    assert.equal(await page.locator(TIME).first().isVisible(), false);
    const pdf = (await page.pdf({ preferCSSPageSize: true, printBackground: true })).toString("latin1");
    const boxes = [...pdf.matchAll(/\/MediaBox\s*\[([\d.\s]+)\]/g)].map((match) => match[1].trim().split(/\s+/).map(Number));
    assert.ok(boxes.length > 2, `${boxes.length} pages`);
    // A4 in points, to the pixel of a screen.
    for (const [, , width, height] of boxes) assert.ok(Math.abs(width - 595.3) < 1 && Math.abs(height - 841.9) < 1, `${width} x ${height}`);
  }));

test("without scripts the tables and the still pictures are there", () =>
  browse(CRAWLER, { javaScriptEnabled: false }, async (page) => {
    assert.equal(await page.locator("table.options tbody tr").count(), 6);
    assert.equal(await page.locator("svg.picture[role=img]").first().isVisible(), true);
    assert.equal(await page.locator(TIME).first().isVisible(), false);
  }));

test("a run from rest opens as quietly and shows its whole rise", () =>
  browse(pageOf("plug_in"), {}, async (page) => {
    await page.locator(TIME).first().waitFor();
    assert.deepEqual(page.heard.complaints, []);
    assert.match(await shown(page.locator(TIME).first()), /^0 s to/);
  }));
