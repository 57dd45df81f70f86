// The page's drawings.
import './drawing.css';

export { Cap, type CapProps } from './Cap';
export { Chart, type ChartProps } from './Chart';
export { RunStrip, type RunStripProps } from './RunStrip';
export { Unfit } from './Unfit';
