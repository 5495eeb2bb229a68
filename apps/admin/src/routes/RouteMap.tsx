import type { MapSettings } from '@lintel/contract';
import { palette, useWidth } from '@lintel/ui';
import { Box } from '@mui/material';
import { geoPath } from 'd3-geo';
import type { GeoProjection } from 'd3-geo';
import { useMemo } from 'react';
import type { KeyboardEvent } from 'react';
import { useAnswer } from '../access/hooks.js';
import { Trouble } from '../common/faces.js';
import { dayWords } from '../work/week.js';
import { useAtlas } from './atlas.js';
import type { Lane } from './lanes.js';
import { fitted, mapHomes, mapSites, routeLine, scaleBar, wantsFine } from './mapPlan.js';
import type { MapSite, ScaleBar, Spot } from './mapPlan.js';
import { tilesOf } from './tiles.js';
import { usePlanView } from './planView.js';

const height = 420;
/** A line pattern a day of the week, so that days differ without colour. */
const patterns = ['', '9 4', '3 3', '12 3 3 3', '1.5 4', '6 2 1.5 2', '14 6'];

/** The lanes looked at, on the map of this house or on the tiles that it names: homes, sites with the numbers of their stops, a line a route. */
export default function RouteMap({ technicianId }: { technicianId: string | null }) {
  const view = usePlanView();
  const { plan } = view;
  const shown = view.shown.filter(({ route }) => technicianId === null || route.technicianId === technicianId);
  const [ref, width] = useWidth<HTMLDivElement>(480);
  const driven = shown.filter(({ stops }) => stops.length > 0);
  const drawn = driven.length > 0 ? driven : shown;
  const narrowed = shown.length < view.lanes.length;
  const unserved = narrowed ? [] : plan.visitList.filter(({ technicianId }) => technicianId === null);
  const sites = mapSites(drawn, unserved);
  const homes = mapHomes(drawn);
  // The places alone decide what is in sight, not who goes there.
  const spots = JSON.stringify([...sites, ...homes].map(({ spot }) => spot));
  const map = useAnswer<MapSettings>('/map');
  const tiles = map.data?.tiles ?? null;
  const projection = useFitted(spots, width, tiles !== null);
  // Until it is known what the map is drawn on, and where there are no tiles, it is this house's own.
  const atlas = useAtlas(wantsFine(projection), !map.isPending && tiles === null);
  const days = [...new Set(driven.map(({ route }) => route.onDate))].sort();
  return (
    <Box>
      <Box ref={ref} sx={{ border: `1px solid ${palette.line}`, background: '#dfeaef', lineHeight: 0 }}>
        <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="group" aria-label="Map of the plan" style={{ display: 'block', maxWidth: '100%' }}>
          {tiles ? <Tiles projection={projection} width={width} template={tiles.url} /> : atlas.data ? <Ground projection={projection} atlas={atlas.data} /> : null}
          <Lines lanes={driven} projection={projection} days={days} />
          {homes.map(({ technicianId, name, spot }) => <Home key={technicianId} name={name} at={projection(spot)} />)}
          {sites.map((site) => <Site key={site.siteId} site={site} at={projection(site.spot)} />)}
          <DistanceBar bar={scaleBar(projection, width, height)} />
          {sites.length <= 7 ? <Names sites={sites} projection={projection} /> : null}
          <Pointed sites={sites} projection={projection} width={width} />
        </svg>
      </Box>
      {atlas.error ? <Trouble error={atlas.error} again={() => void atlas.refetch()} /> : null}
      {tiles ? <Box sx={{ color: palette.inkSoft, fontSize: '0.78rem', marginTop: 0.3 }}>Map: {tiles.attribution}</Box> : null}
      <MapLegend days={days} />
    </Box>
  );
}

function useFitted(spots: string, width: number, tiled: boolean): GeoProjection {
  return useMemo(() => fitted(JSON.parse(spots) as Spot[], width, height, tiled), [spots, width, tiled]);
}

/** Pictures from the tile server that this installation names; one that does not come leaves its place empty. */
function Tiles({ projection, width, template }: { projection: GeoProjection; width: number; template: string }) {
  const tiles = useMemo(() => tilesOf(projection, width, height, template), [projection, width, template]);
  return (
    <g aria-hidden="true" data-tiles>
      {tiles.map(({ key, url, x, y, side }) => <image key={key} href={url} x={x} y={y} width={side + 0.5} height={side + 0.5} preserveAspectRatio="none" />)}
      {/* Lines and numbers stay readable on any map. */}
      <rect width={width} height={height} fill={palette.paper} opacity={0.35} />
    </g>
  );
}

function Ground({ projection, atlas }: { projection: GeoProjection; atlas: NonNullable<ReturnType<typeof useAtlas>['data']> }) {
  const [land, borders] = useMemo(() => {
    const path = geoPath(projection);
    return [path(atlas.land) ?? '', path(atlas.borders) ?? ''];
  }, [projection, atlas]);
  return (
    <g aria-hidden="true" data-ground>
      <path d={land} fill="#f7f8f5" stroke={palette.slateSoft} strokeWidth={0.8} />
      <path d={borders} fill="none" stroke={palette.line} strokeWidth={1} />
    </g>
  );
}

function Lines({ lanes, projection, days }: { lanes: readonly Lane[]; projection: GeoProjection; days: readonly string[] }) {
  const { chosenId, pointedId } = usePlanView();
  const path = geoPath(projection);
  const strong = (lane: Lane) => lane.route.visitIds.some((id) => id === chosenId || id === pointedId);
  return (
    <g aria-hidden="true">
      {[...lanes].sort((a, b) => Number(strong(a)) - Number(strong(b))).map((lane) => (
        <path
          key={lane.key}
          d={path({ type: 'LineString', coordinates: routeLine(lane) }) ?? ''}
          fill="none"
          stroke={strong(lane) ? palette.ink : palette.ice}
          strokeWidth={strong(lane) ? 3 : 1.6}
          strokeDasharray={patterns[days.indexOf(lane.route.onDate) % patterns.length]}
        />
      ))}
    </g>
  );
}

type At = [number, number] | null;

function Home({ name, at }: { name: string; at: At }) {
  if (!at) return null;
  return (
    <g transform={`translate(${at[0]} ${at[1]})`} role="img" aria-label={`Home of ${name}`}>
      <title>{`Home of ${name}`}</title>
      <path d="M-7 6V-1L0-8 7-1V6Z" fill={palette.paper} stroke={palette.ink} strokeWidth={1.8} />
    </g>
  );
}

function Site({ site, at }: { site: MapSite; at: At }) {
  const { chosenId, choose, pointedId, point } = usePlanView();
  if (!at) return null;
  const ids = [...site.stops.map(({ visit }) => visit.id), ...site.unserved.map(({ id }) => id)];
  const chosen = chosenId !== null && ids.includes(chosenId);
  const pointed = pointedId !== null && ids.includes(pointedId);
  /** One after the other, where a site has several visits. */
  const next = () => choose(ids[(ids.indexOf(chosenId ?? '') + 1) % ids.length] ?? null);
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key !== 'Enter' && event.key !== ' ') return;
    event.preventDefault();
    next();
  };
  const served = site.stops.length > 0;
  const numbers = numbersOf(site);
  const half = halfOf(numbers);
  const fill = chosen ? palette.ink : pointed ? palette.iceSoft : palette.paper;
  return (
    <g
      transform={`translate(${at[0]} ${at[1]})`}
      role="button"
      tabIndex={0}
      aria-label={siteWords(site)}
      aria-pressed={chosen}
      onClick={next}
      onKeyDown={onKeyDown}
      onFocus={() => point(ids[0] ?? null)}
      onBlur={() => point(null)}
      onMouseEnter={() => point(ids[0] ?? null)}
      onMouseLeave={() => point(null)}
      style={{ cursor: 'pointer' }}
    >
      {served ? (
        <rect x={-half} y={-9} width={2 * half} height={18} rx={9} fill={fill} stroke={palette.ink} strokeWidth={pointed || chosen ? 3 : 1.6} />
      ) : (
        <path d="M-8-8 8 8M8-8-8 8" stroke={palette.signal} strokeWidth={pointed || chosen ? 5 : 3.2} />
      )}
      {served ? <text textAnchor="middle" y={4} fontSize={11.5} fontWeight={700} fill={chosen ? palette.paper : palette.ink}>{numbers}</text> : null}
    </g>
  );
}

const numbersOf = ({ stops }: MapSite): string => [...new Set(stops.map(({ number }) => number))].join(',');
/** Half the width of a site's mark. */
const halfOf = (numbers: string): number => Math.max(9, numbers.length * 3.6 + 4);

function siteWords(site: MapSite): string {
  const { name, stops, unserved } = site;
  const said = stops.map(({ number, lane }) => `visit ${number} of ${lane.route.technicianName} on ${dayWords(lane.route.onDate)}`);
  if (unserved.length > 0) said.push('not served');
  return `${name}${stops.length > 0 ? `, stop ${numbersOf(site)}` : ''}: ${said.join('; ')}`;
}

/** Names of the sites, where there are few. */
function Names({ sites, projection }: { sites: readonly MapSite[]; projection: GeoProjection }) {
  const { chosenId, pointedId } = usePlanView();
  const looked = (site: MapSite) => [chosenId, pointedId].some((id) => id !== null && isAt(site, id));
  return (
    <g aria-hidden="true" pointerEvents="none">
      {sites.filter((site) => !looked(site)).map((site) => {
        const at = projection(site.spot);
        return at ? <text key={site.siteId} x={at[0] + halfOf(numbersOf(site)) + 4} y={at[1] + 4} fontSize={11.5} fill={palette.ink} stroke={palette.paper} strokeWidth={3} paintOrder="stroke">{site.name}</text> : null;
      })}
    </g>
  );
}

const isAt = ({ stops, unserved }: MapSite, visitId: string): boolean => stops.some(({ visit }) => visit.id === visitId) || unserved.some(({ id }) => id === visitId);

/** The name of the site under the pointer, over everything else. */
function Pointed({ sites, projection, width }: { sites: readonly MapSite[]; projection: GeoProjection; width: number }) {
  const { chosenId, pointedId } = usePlanView();
  const id = pointedId ?? chosenId;
  const site = id === null ? undefined : sites.find((one) => isAt(one, id));
  const at = site ? projection(site.spot) : null;
  if (!site || !at) return null;
  const anchor = at[0] > width * 0.7 ? 'end' : at[0] < width * 0.3 ? 'start' : 'middle';
  return (
    <text aria-hidden="true" x={at[0]} y={at[1] - 15} textAnchor={anchor} fontSize={13} fontWeight={700} fill={palette.ink} stroke={palette.paper} strokeWidth={4} paintOrder="stroke" pointerEvents="none">
      {site.name}
    </text>
  );
}

function DistanceBar({ bar }: { bar: ScaleBar | null }) {
  if (!bar) return null;
  return (
    <g transform={`translate(10 ${height - 10})`} aria-hidden="true">
      <path d={`M0-5V0H${bar.length}V-5`} fill="none" stroke={palette.ink} strokeWidth={1.4} />
      <text x={bar.length / 2} y={-5} textAnchor="middle" fontSize={11} fill={palette.ink} stroke={palette.paper} strokeWidth={3} paintOrder="stroke">{bar.km.toLocaleString('en')} km</text>
    </g>
  );
}

function MapLegend({ days }: { days: readonly string[] }) {
  return (
    <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '2px 14px', color: palette.inkSoft, fontSize: '0.82rem', marginTop: 0.8 }}>
      {days.map((day, index) => (
        <Box component="span" key={day} sx={{ display: 'inline-flex', alignItems: 'center', gap: 0.6 }}>
          <svg width={34} height={6} aria-hidden="true"><path d="M0 3H34" stroke={palette.ice} strokeWidth={2} strokeDasharray={patterns[index % patterns.length]} /></svg>
          {dayWords(day)}
        </Box>
      ))}
      <span>House: a technician’s home. Number: order of the stop. Cross: not served. Lines are straight, not roads.</span>
    </Box>
  );
}
