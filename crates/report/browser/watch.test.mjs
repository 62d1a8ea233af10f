// The page that follows its file: it loads itself anew from the disk, shows mistakes, and keeps what was zoomed and hidden.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { access, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { test } from "node:test";
import { browse, shown } from "./support.mjs";

const harness = (capacitance) => `harness "Watched"
battery pack gnd -> bus  emf 12 V, resistance 60 mohm, inductance 300 nH
drive motors bus -> gnd  current 6 A, pwm 16 kHz, duty 70 %
camera eye cam -> gnd  current 100 mA, supply 9 V .. 15 V
choice filter {
    option none { resistor link bus -> cam  resistance 1 mohm }
    option rc {
        resistor series bus -> cam  resistance 2 ohm
        capacitor store cam -> gnd  capacitance ${capacitance}, esr 60 mohm, rated 25 V
    }
}
testpoint rail = voltage(cam)
require peak_to_peak(rail) < 50 mV "lines in the picture"
transient ripple  span 1 ms, start steady
`;

const there = async (file) => {
  for (;;) {
    try {
      return await access(file);
    } catch {
      await new Promise((resume) => setTimeout(resume, 100));
    }
  }
};

// Runs `quietrail watch` in a folder of its own while `look` looks.
const watched = async (text, look) => {
  const folder = await mkdtemp(path.join(tmpdir(), "quietrail-watch-"));
  const file = path.join(folder, "mine.harness");
  await writeFile(file, text);
  const program = spawn(process.env.QUIETRAIL_PROGRAM, ["watch", file, "--out", folder], { stdio: "ignore" });
  try {
    await there(path.join(folder, "report-state.js"));
    await look((text) => writeFile(file, text), path.join(folder, "report.html"));
  } finally {
    program.kill();
    await rm(folder, { recursive: true, force: true });
  }
};

const stated = (page, text) => page.locator("#parts").getByText(text).waitFor({ timeout: 60_000 });

test("the page follows each save and keeps what was zoomed and hidden", () =>
  watched(harness("470 uF"), (save, file) =>
    browse(file, {}, async (page) => {
      const chart = page.locator("[data-kind=time]").first();
      await chart.getByRole("button", { name: "Zoom in" }).click();
      await chart.getByLabel("rc", { exact: true }).uncheck();
      const before = await shown(chart);
      await save(harness("680 uF"));
      await stated(page, "680 µF");
      assert.equal(await shown(chart), before);
      assert.equal(await chart.getByLabel("rc", { exact: true }).isChecked(), false);
      assert.deepEqual(page.heard.complaints, []);
    }),
  ));

test("a mistake shows over the last good result, and goes when it is mended", () =>
  watched(harness("470 uF"), (save, file) =>
    browse(file, {}, async (page) => {
      await save(harness("470 uH"));
      const mistakes = page.locator("#mistakes");
      await mistakes.waitFor({ timeout: 60_000 });
      assert.match(await mistakes.textContent(), /mine\.harness:9.*470 uH/s);
      await stated(page, "470 µF");
      await save(harness("330 uF"));
      await stated(page, "330 µF");
      assert.equal(await mistakes.count(), 0);
    }),
  ));

test("a file that is wrong from the start has a page of its mistakes, which follows too", () =>
  watched("coli choke a -> b", (save, file) =>
    browse(file, {}, async (page) => {
      assert.match(await page.locator("#mistakes").textContent(), /coil/);
      assert.deepEqual(page.heard.complaints, []);
      await save(harness("220 uF"));
      await stated(page, "220 µF");
    }),
  ));
