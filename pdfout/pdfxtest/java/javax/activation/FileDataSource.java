package javax.activation;

import java.io.File;
import java.io.FileInputStream;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;

/** A file as a data source, enough for the validator. */
public class FileDataSource implements DataSource {
    private final File file;

    public FileDataSource(File file) {
        this.file = file;
    }

    public FileDataSource(String name) {
        this(new File(name));
    }

    public File getFile() {
        return file;
    }

    public InputStream getInputStream() throws IOException {
        return new FileInputStream(file);
    }

    public OutputStream getOutputStream() throws IOException {
        return new FileOutputStream(file);
    }

    public String getContentType() {
        return "application/octet-stream";
    }

    public String getName() {
        return file.getName();
    }
}
