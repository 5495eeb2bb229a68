import type { WorkImage } from '@lintel/contract';
import { formatInstant, palette } from '@lintel/ui';
import { Box, Button, ButtonBase, Dialog, DialogActions, DialogTitle } from '@mui/material';
import { useState } from 'react';
import type { KeyboardEvent } from 'react';

export const imageAddress = (id: string): string => `/api/v1/work-images/${id}`;

/** Photographs, small; each opens large, where the arrow keys go from one to the next. */
export function Thumbnails({ images, timeZone }: { images: readonly WorkImage[]; timeZone: string }) {
  const [open, setOpen] = useState<number | null>(null);
  if (images.length === 0) return null;
  const label = (image: WorkImage, index: number) => `Photograph ${index + 1} of ${images.length}, ${formatInstant(image.takenAt, timeZone)}`;
  return (
    <>
      <Box component="ul" aria-label="Photographs" sx={{ listStyle: 'none', display: 'flex', flexWrap: 'wrap', gap: 1, padding: 0, margin: '6px 0 0' }}>
        {images.map((image, index) => (
          <li key={image.id}>
            <ButtonBase onClick={() => setOpen(index)} aria-label={`Open ${label(image, index)}`} sx={{ border: `1px solid ${palette.slateSoft}`, borderRadius: '3px', overflow: 'hidden', '&.Mui-focusVisible': { outline: `3px solid ${palette.ice}`, outlineOffset: 2 } }}>
              <img src={imageAddress(image.id)} alt="" loading="lazy" width={112} height={84} style={{ objectFit: 'cover', display: 'block', background: palette.frostDeep }} />
            </ButtonBase>
          </li>
        ))}
      </Box>
      {open === null ? null : <Viewer images={images} at={open} label={label} onMove={setOpen} onClose={() => setOpen(null)} />}
    </>
  );
}

interface ViewerProps {
  images: readonly WorkImage[];
  at: number;
  label: (image: WorkImage, index: number) => string;
  onMove: (index: number) => void;
  onClose: () => void;
}

function Viewer({ images, at, label, onMove, onClose }: ViewerProps) {
  const image = images[at];
  if (!image) return null;
  const move = (by: number) => onMove((at + by + images.length) % images.length);
  const byKey = (event: KeyboardEvent) => {
    if (event.key === 'ArrowRight') move(1);
    else if (event.key === 'ArrowLeft') move(-1);
  };
  return (
    <Dialog open onClose={onClose} maxWidth="lg" aria-labelledby="photograph-title" onKeyDown={byKey}>
      <DialogTitle id="photograph-title" aria-live="polite">{label(image, at)}</DialogTitle>
      <Box sx={{ background: palette.ink, textAlign: 'center', minHeight: 200 }}>
        <img src={imageAddress(image.id)} alt={label(image, at)} style={{ maxWidth: '100%', maxHeight: '70vh', display: 'block', margin: '0 auto' }} />
      </Box>
      <DialogActions sx={{ padding: '8px 24px 14px' }}>
        <Button component="a" href={imageAddress(image.id)} target="_blank" rel="noreferrer">Full size</Button>
        <Box sx={{ flex: 1 }} />
        {images.length > 1 ? <Button onClick={() => move(-1)}>Before</Button> : null}
        {images.length > 1 ? <Button onClick={() => move(1)}>Next</Button> : null}
        <Button variant="contained" onClick={onClose}>Close</Button>
      </DialogActions>
    </Dialog>
  );
}
