export * from './canonicalJson.js';
export * from './sealedText.js';
export * from './walkChain.js';
