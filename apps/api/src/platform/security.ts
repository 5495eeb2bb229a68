import fastifyCookie from '@fastify/cookie';
import fastifyHelmet from '@fastify/helmet';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import type { ApiOptions } from './options.js';

/** Headers that bind the browser, cookies, and the check against changes asked for by pages of another origin. */
export async function secure(app: NestFastifyApplication, options: ApiOptions): Promise<void> {
  const secureCookies = options.secureCookies ?? false;
  await app.register(fastifyHelmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'self'"],
        scriptSrc: ["'self'"],
        // The admin's style engine writes <style> elements; scripts stay strict.
        styleSrc: ["'self'", "'unsafe-inline'"],
        // Tiles are pictures: nothing else may come from their server.
        imgSrc: ["'self'", 'data:', 'blob:', ...(options.tiles ? [new URL(options.tiles.url).origin] : [])],
        fontSrc: ["'self'", 'data:'],
        connectSrc: ["'self'"],
        workerSrc: ["'self'"],
        manifestSrc: ["'self'"],
        objectSrc: ["'none'"],
        baseUri: ["'none'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
        ...(secureCookies ? { upgradeInsecureRequests: [] } : {}),
      },
    },
    // Over http a browser must not be told to stay on https.
    strictTransportSecurity: secureCookies ? { maxAge: 31_536_000 } : false,
    referrerPolicy: { policy: 'same-origin' },
    frameguard: { action: 'deny' },
  });
  await app.register(fastifyCookie);
  app.enableCsrfProtection();
}
