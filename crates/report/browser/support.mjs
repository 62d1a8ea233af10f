// A browser for all tests, and pages opened from the disk as a user does.
import { chromium } from "playwright-core";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";

export const A4 = { width: 794, height: 1123 };
export const DESK = { width: 1280, height: 900 };
export const PHONE = { width: 390, height: 844 };

export const pageOf = (name) => path.join(process.env.QUIETRAIL_PAGES, name, "report.html");

// Runs `look` in a fresh profile; whatever the page complains about or fetches is in `page.heard`.
export const browse = async (file, options, look) => {
  const profile = await mkdtemp(path.join(tmpdir(), "quietrail-browser-"));
  const flags = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"];
  const silent = ["--disable-background-networking", "--disable-component-update", "--disable-sync"];
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: process.env.CHROMIUM,
    headless: true,
    args: [...flags, ...silent],
    viewport: DESK,
    ...options,
  });
  try {
    const page = context.pages()[0] ?? (await context.newPage());
    page.heard = { complaints: [], requests: [] };
    page.on("console", (message) => {
      if (["error", "warning"].includes(message.type())) page.heard.complaints.push(message.text());
    });
    page.on("pageerror", (error) => page.heard.complaints.push(error.message));
    page.on("request", (request) => page.heard.requests.push(request.url()));
    await page.goto(pathToFileURL(file).href);
    return await look(page);
  } finally {
    await context.close();
    await rm(profile, { recursive: true, force: true });
  }
};

// The numbers of "Shown: 0 s to 6.25 ms" as one text.
export const shown = (chart) => chart.locator("[data-shown]").textContent();

// How many pixels of a chart are near a colour of the theme.
export const pixels = (page, selector, name) =>
  page.evaluate(
    ([selector, name]) => {
      const canvas = document.querySelector(`${selector} canvas`);
      const hex = getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();
      const wanted = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
      const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
      let count = 0;
      for (let at = 0; at < data.length; at += 4)
        if (data[at + 3] > 200 && wanted.every((value, channel) => Math.abs(data[at + channel] - value) < 12)) count += 1;
      return count;
    },
    [selector, name],
  );
