export * from './chain.js';
export * from './entry.js';
export * from './logBook.js';
