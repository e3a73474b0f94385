// Places of the page by name, each with its address after the server's and with what stands there once it is ready.
/**
 * Opens every one of them afresh in turn, waits until it is ready and still, and does the work there with the page and the
 * place's name.
 */
export async function visitEach(page, address, places, work) {
  for (const [name, place] of Object.entries(places)) {
    const [hash, ready] = place();
    await page.goto('about:blank');
    await page.goto(address + hash);
    await page.waitForSelector(ready);
    await page.waitForTimeout(300);
    await work(page, name);
  }
}
