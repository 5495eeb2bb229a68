export * from './account.js';
export * from './roles.js';
export * from './session.js';
