import '@fontsource-variable/archivo/wdth.css';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';

const place = document.getElementById('root');
if (!place) throw new Error('The page has no place for the application.');
createRoot(place).render(<StrictMode>Lintel</StrictMode>);
