import { randomBytes, timingSafeEqual } from 'node:crypto';

/** Letters and digits that are not taken for one another (no 0, 1, I, O). */
const letters = 'ABCDEFGHJKLMNPQRSTUVWXYZ23456789';
const codeLength = 8;
/** The page's cookie. */
const cookieName = 'ohmwright_page';

/**
 * Who may see the page. One code is good for one browser; then there is another. A browser keeps its
 * cookie for as long as the session lasts.
 */
export class Admission {
  readonly #passes = new Set<string>();
  #code = newCode();

  /** The code for the next browser. */
  get code(): string {
    return this.#code;
  }

  /** Returns the cookie for a browser that says the code; null for another text. */
  admit(said: string): string | null {
    if (!isSame(said.trim().toUpperCase(), this.#code)) return null;
    this.#code = newCode();
    const pass = randomBytes(24).toString('base64url');
    this.#passes.add(pass);
    return `${cookieName}=${pass}; HttpOnly; SameSite=Strict; Path=/`;
  }

  /** Says whether a request's cookies hold a pass. */
  knows(cookies: string | undefined): boolean {
    return (cookies ?? '').split(';').some((one) => {
      const [name, value = ''] = one.trim().split('=');
      return name === cookieName && [...this.#passes].some((pass) => isSame(value, pass));
    });
  }
}

function newCode(): string {
  // 32 letters: each byte picks one, all equally likely
  return Array.from(randomBytes(codeLength), (byte) => letters[byte % letters.length]).join('');
}

function isSame(a: string, b: string): boolean {
  const [left, right] = [Buffer.from(a), Buffer.from(b)];
  return left.length === right.length && timingSafeEqual(left, right);
}
