import { render } from 'preact';
import { App } from './App';
import './styles/tokens.css';
import './styles/base.css';
import './styles/controls.css';
import './styles/job.css';
import './styles/lists.css';
import './styles/narrow.css';
import './styles/print.css';

const page = document.getElementById('page');
if (page) render(<App />, page);
