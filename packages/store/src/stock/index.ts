export * from './loadVan.js';
