import type { ComponentProps } from 'react';
import styles from './Button.module.css';

interface Props extends ComponentProps<'button'> {
  primary?: boolean;
}

export function Button({ primary = false, className = '', type = 'button', ...rest }: Props) {
  return (
    <button
      {...rest}
      type={type}
      className={`${styles.button} ${primary ? styles.primary : ''} ${className}`}
    />
  );
}
