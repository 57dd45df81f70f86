import { Floor } from './floor';
import { ComparePage } from './pages/ComparePage';
import { JobPage } from './pages/JobPage';
import { StartPage } from './pages/StartPage';
import { Link, TopBar } from './parts/TopBar';
import { useRoute } from './router';

export function App() {
  const route = useRoute();
  switch (route.page) {
    case 'start':
      return <StartPage />;
    case 'job':
      return <JobPage key={route.id} id={route.id} />;
    case 'floor':
      return <Floor key={route.id} id={route.id} />;
    case 'compare':
      return <ComparePage key={`${route.a} ${route.b}`} a={route.a} b={route.b} />;
    case 'unknown':
      return (
        <div class="page">
          <TopBar />
          <main class="lone">
            <h1>There is no such page.</h1>
            <p>
              <Link to="/">All jobs</Link>
            </p>
          </main>
        </div>
      );
  }
}
