import '@fontsource-variable/archivo/wdth.css';
import './shell/styles.css';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './App.js';
import { keepShell } from './shell/NewVersion.js';
import { currentTheme, showTheme } from './shell/theme.js';

const place = document.getElementById('root');
if (!place) throw new Error('The page has no place for the application.');
showTheme(currentTheme());
void keepShell().catch(() => undefined);
createRoot(place).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
