import { render } from 'preact';
import { App } from './App';
import { followPrinting } from './state/on_paper';
import './styles/tokens.css';
import './styles/base.css';
import './styles/controls.css';
import './styles/job.css';
import './styles/lists.css';
import './styles/narrow.css';
import './styles/print.css';

followPrinting();
const page = document.getElementById('page');
if (page) render(<App />, page);
