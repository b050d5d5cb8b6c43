package javax.activation;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;

/** The interface as the validator expects it; Java itself dropped it in version 11. */
public interface DataSource {
    InputStream getInputStream() throws IOException;

    OutputStream getOutputStream() throws IOException;

    String getContentType();

    String getName();
}
