import { useEffect, useState } from 'preact/hooks';

const kPhone = '(max-width: 700px)';

/** True while the window is as narrow as a telephone's. */
export function useIsPhone(): boolean {
  const [isPhone, setPhone] = useState(() => matchMedia(kPhone).matches);
  useEffect(() => {
    const query = matchMedia(kPhone);
    const follow = () => setPhone(query.matches);
    query.addEventListener('change', follow);
    return () => query.removeEventListener('change', follow);
  }, []);
  return isPhone;
}
